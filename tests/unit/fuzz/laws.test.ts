import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Result, TrainResult } from '../../../scenarios/result.js';
import {
  arbitraryScenario,
  type EffectFile,
  type ScenarioFile,
  twistingScenario,
  withoutTrack,
} from './arbitrary-scenario.js';
import { assessFile, fuzz, fuzzTimeout } from './assess.js';

/** Only trains of own axles, whose loads can be scaled. */
const withOwnTrains = arbitraryScenario.filter(({ trains }) =>
  trains.every(({ axles }) => axles !== undefined),
);

describe('laws that hold for any scenario', () => {
  it('what a train does is proportional to its loads', { timeout: fuzzTimeout }, () => {
    fc.assert(
      fc.property(withOwnTrains, (file) => {
        const light = assessFile({ ...file, damage_cases: [] });
        const heavy = assessFile({ ...withLoads(file, 1.5), damage_cases: [] });
        for (const [key, before, now] of sweptPairs(light, heavy)) {
          // Fastenings beyond their clamping are not linear.
          if (key.includes('deck_end') || key.includes('rail_stress')) continue;
          expect(Math.abs(now - 1.5 * before), key).toBeLessThanOrEqual(1e-6 * Math.abs(now) + 1e-9);
        }
      }),
      fuzz(0.16),
    );
  });

  it('a heavier train is never permitted more', { timeout: fuzzTimeout }, () => {
    fc.assert(
      fc.property(withOwnTrains, fc.constantFrom(1.02, 1.3), (file, factor) => {
        const light = trainsOf(assessFile(file));
        const heavy = trainsOf(assessFile(withLoads(file, factor)));
        // Where a failure lies is known to 1 km/h, which may fall on either side of an operating step.
        const step = roundingOf(file);
        heavy.forEach((train, i) => {
          expect(speedOf(train)).toBeLessThanOrEqual(speedOf(light[i]!) + step);
        });
      }),
      fuzz(0.16),
    );
  });

  it('damage never permits more than the intact deck without saying so and why', {
    timeout: fuzzTimeout,
  }, () => {
    fc.assert(
      fc.property(
        arbitraryScenario.filter(({ damage_cases }) => damage_cases.length > 0),
        (file) => {
          const { recommendations } = assessFile(file);
          const speed = (damageCase: string, name: string) =>
            recommendations.find((one) => one.damage_case === damageCase && one.class === name)!
              .permitted_speed_kmh ?? 0;
          for (const given of recommendations) {
            const gains = speed(given.damage_case, given.class) > speed('intact', given.class);
            expect(given.reason.includes('more than for the intact deck')).toBe(gains);
          }
        },
      ),
      fuzz(0.12),
    );
  });

  it('a larger settlement is never permitted more by the level and the steps of the track', {
    timeout: fuzzTimeout,
  }, () => {
    fc.assert(
      fc.property(arbitraryScenario, fc.nat(), (file, place) => {
        const support = file.supports[place % file.supports.length]!.id;
        const settled = (settlement_mm: number) =>
          assessFile({
            ...file,
            trains: file.trains.slice(0, 1),
            damage_cases: [{ id: 'down', effects: [{ kind: 'support-settlement', support, settlement_mm }] }],
          }).cases[1]!.trains[0]!;
        const [little, more] = [settled(6), settled(12)];
        if (little.sweep.speed_kmh.length === 0 || more.sweep.speed_kmh.length === 0) return;
        const alone = ({ checks }: TrainResult) =>
          checks.find(({ id }) => id === 'track-geometry')!.permitted_speed_kmh ?? 0;
        expect(alone(more)).toBeLessThanOrEqual(alone(little));
      }),
      fuzz(0.12),
    );
  });

  it('a track on the right does what a track on the left does', { timeout: fuzzTimeout }, () => {
    fc.assert(
      fc.property(twistingScenario, (file) => {
        const [here, there] = [assessFile(file), assessFile(otherSide(file))];
        for (const [key, before, now] of sweptPairs(here, there))
          expect(Math.abs(now - before), key).toBeLessThanOrEqual(2e-2 * Math.abs(before) + scale(key));
        trainsOf(here).forEach((train, i) => {
          const other = trainsOf(there)[i]!;
          expect(Math.abs(speedOf(other) - speedOf(train))).toBeLessThanOrEqual(roundingOf(file));
        });
      }),
      fuzz(0.12),
    );
  });

  it('the mirror image of a viaduct has the mirror image of the results', { timeout: fuzzTimeout }, () => {
    fc.assert(
      fc.property(arbitraryScenario, (file) => {
        // Seats and panels are laid out from the first abutment: only a bare deck is its own mirror image to the last digit.
        const bare = withoutTrack(file);
        const straight = assessFile(bare);
        const mirrored = assessFile(mirror(bare));
        straight.cases.forEach((one, i) => {
          const other = mirrored.cases[i]!;
          expect(other.stable).toBe(one.stable);
          one.frequencies_Hz.forEach((frequency, mode) => {
            expect(other.frequencies_Hz[mode]! / frequency).toBeCloseTo(1, 6);
          });
          for (const [support, reaction] of Object.entries(one.statics?.reactions_kN ?? {}))
            expect(Math.abs(other.statics!.reactions_kN[support]! - reaction)).toBeLessThan(0.01);
        });
        // Steps in time fall elsewhere, and each image resolves its peaks to 1 %.
        for (const [key, before, now] of sweptPairs(straight, mirrored))
          expect(Math.abs(now - before), key).toBeLessThanOrEqual(2e-2 * Math.abs(before) + scale(key));
        trainsOf(straight).forEach((train, i) => {
          const other = trainsOf(mirrored)[i]!;
          expect(Math.abs(speedOf(other) - speedOf(train))).toBeLessThanOrEqual(roundingOf(file));
        });
      }),
      fuzz(0.16),
    );
  });
});

/** Below this a quantity is noise beside what a limit would notice. */
function scale(key: string): number {
  if (key.includes('rad')) return 1e-7;
  if (key.includes('kNm')) return 2;
  return key.includes('kN') ? 0.5 : 2e-3;
}

const trainsOf = (result: Result): TrainResult[] => result.cases.flatMap(({ trains }) => trains);

/** Closed is slower than any speed; what cannot be said is left at that. */
function speedOf({ permitted_speed_kmh, status }: TrainResult): number {
  return status === 'undetermined' ? -1 : (permitted_speed_kmh ?? 0);
}

function roundingOf({ decision }: ScenarioFile): number {
  return typeof decision === 'object' && decision !== null && 'round_down_to_kmh' in decision
    ? Number(decision.round_down_to_kmh)
    : 5;
}

/** Values of the sweep at every speed that both results have. */
function sweptPairs(a: Result, b: Result): [string, number, number][] {
  const other = trainsOf(b);
  return trainsOf(a).flatMap(({ sweep, train }, i) =>
    Object.entries(sweep).flatMap(([key, values]) =>
      values.flatMap((value, k): [string, number, number][] => {
        const at = other[i]!.sweep.speed_kmh.indexOf(sweep.speed_kmh[k]!);
        return key === 'speed_kmh' || at < 0
          ? []
          : [[`${train} ${key} at ${sweep.speed_kmh[k]} km/h`, value, other[i]!.sweep[key]![at]!]];
      }),
    ),
  );
}

function withLoads(file: ScenarioFile, factor: number): ScenarioFile {
  return {
    ...file,
    trains: file.trains.map((train) => ({
      ...train,
      axles: train.axles!.map(({ at_m, load_kN }) => ({ at_m, load_kN: load_kN * factor })),
    })),
  };
}

/** What lies on the right lies on the left. */
function otherSide(file: ScenarioFile): ScenarioFile {
  return {
    ...file,
    ...(file.tracks
      ? {
          tracks: [...file.tracks]
            .reverse()
            .map(({ eccentricity_m }) => ({ eccentricity_m: 0 - eccentricity_m })),
        }
      : {}),
    damage_cases: file.damage_cases.map((one) => ({
      ...one,
      effects: one.effects.map((effect) =>
        effect.side === undefined ? effect : { ...effect, side: effect.side === 'left' ? 'right' : 'left' },
      ),
    })),
  };
}

/** Everything that stands at x stands at length - x; who looks the other way along the deck has its sides changed round. */
function mirror(given: ScenarioFile): ScenarioFile {
  const file = otherSide(given);
  const spans = file.deck.spans;
  const flip = (effect: EffectFile): EffectFile => {
    if (effect.kind !== 'deck-stiffness-loss') return effect;
    const length = spans[Number(effect.span) - 1]!.length_m;
    return {
      ...effect,
      span: spans.length + 1 - Number(effect.span),
      from_m: length - Number(effect.to_m),
      to_m: length - Number(effect.from_m),
    };
  };
  const resistance = file.resistance as { readonly spans?: readonly unknown[] } | undefined;
  return {
    ...file,
    deck: {
      ...file.deck,
      spans: spans
        .map((span) => (span.segments ? { ...span, segments: [...span.segments].reverse() } : span))
        .reverse(),
    },
    supports: [...file.supports].reverse(),
    ...(resistance?.spans ? { resistance: { ...resistance, spans: [...resistance.spans].reverse() } } : {}),
    damage_cases: file.damage_cases.map((one) => ({ ...one, effects: one.effects.map(flip) })),
  };
}
