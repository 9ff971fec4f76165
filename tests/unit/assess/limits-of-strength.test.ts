import { describe, expect, it } from 'vitest';
import type { TrainResult } from '../../../scenarios/result.js';
import { assess, slabTrack, smallScenario, trainOf } from './assess-scenario.js';

type Document = Record<string, unknown>;

const short = [12, 36].map((length_m) => ({
  ...{ length_m, mass_kg_per_m: 14_000, flexural_rigidity_N_m2: 8e10 },
}));
const lost = ['bedding-loss', 'fastening-loss'].map((kind) => ({
  ...{ kind, from_m: 12, to_m: 13.5, fraction: 1 },
}));

/** Enough for dead load and train at any speed, with a fifth of it used up at least. */
const resistance = (spans: number): Document => ({
  spans: Array.from({ length: spans }, () => ({ sagging_kNm: 3e4, hogging_kNm: 3e4, shear_kN: 6e3 })),
  supports: Array.from({ length: spans + 1 }, (_, index) => ({ id: `S${index}`, reaction_kN: 1.2e4 })),
});
const trackResistance = { slab_sagging_kNm: 200, slab_hogging_kNm: 200, rail_kNm: 100 };

/** Viaducts whose trains run at line speed as long as a check may use up the whole of the resistance, each with the case to look at. */
const strongEnough: readonly (readonly [check: string, damageCase: string, scenario: Document])[] = [
  ...['bending', 'shear', 'support-reaction'].map(
    (check) => [check, 'intact', smallScenario(1, { resistance: resistance(1) })] as const,
  ),
  [
    'bearing-uplift',
    'intact',
    smallScenario(2, {
      deck: { spans: short, damping_ratio: 0.02 },
      supports: [{ id: 'S0', uplift_resistance_kN: 3000 }, { id: 'S1' }, { id: 'S2' }],
      resistance: resistance(2),
    }),
  ],
  ...['slab-bending', 'rail-bending'].map(
    (check) =>
      [
        check,
        'lost',
        smallScenario(1, {
          track: slabTrack,
          resistance: { ...resistance(1), track: trackResistance },
          damage_cases: [{ id: 'lost', effects: lost }],
        }),
      ] as const,
  ),
];

const assessed = (scenario: Document, damageCase: string, limits: Document): TrainResult =>
  trainOf(assess({ ...scenario, limits }), damageCase);

const ownSet = (check: string, steps: readonly Document[]): Document => ({
  own_set: {
    ...{ format: 'deckpace/limits@1', id: 'own', title: 'Own' },
    limits: [{ check, kind: 'safety', unit: '-', steps, source: 'rule 1' }],
  },
});

describe.each(strongEnough)('a limit of %s', (check, damageCase, scenario) => {
  const utilisationOf = (train: TrainResult): number =>
    train.checks.find(({ id }) => id === check)!.utilisation!;

  it('is the share of the resistance that may be used up', () => {
    const whole = assessed(scenario, damageCase, {});
    expect(whole.status).toBe('line-speed');
    const half = assessed(scenario, damageCase, { overrides: { [check]: 0.5 } });
    // Nearer to its limit a peak is looked at more closely, and known to 1 %.
    const ratio = utilisationOf(half) / utilisationOf(whole);
    expect(ratio).toBeGreaterThan(2 - 1e-9);
    expect(ratio).toBeLessThan(2 * 1.01);
  });

  it('holds up to the speed of its step, and the next one beyond', () => {
    const steps = [
      { up_to_kmh: 60, value: 1 },
      { up_to_kmh: null, value: 0.5 * utilisationOf(assessed(scenario, damageCase, {})) },
    ];
    expect(assessed(scenario, damageCase, ownSet(check, steps))).toMatchObject({
      status: 'restricted',
      permitted_speed_kmh: 50,
      governing: check,
    });
  });

  it('permits nothing beyond its last step', () => {
    const train = assessed(scenario, damageCase, ownSet(check, [{ up_to_kmh: 60, value: 1 }]));
    expect(train).toMatchObject({ status: 'restricted', permitted_speed_kmh: 50, governing: check });
    expect(train.reason).toMatch(/^The limits of .* end at 60 km\/h; 50 km\/h keeps/);
  });
});
