import { describe, expect, it } from 'vitest';
import { readScenario } from '../../../scenarios/read-scenario.js';
import type { TrainResult } from '../../../scenarios/result.js';
import { planAssessment, runPart } from '../../../worker/engine.js';
import { amplyResistant, amplyResistantTrack, slabTrack, smallScenario } from './assess-scenario.js';

interface Factors {
  readonly stiffness: number;
  readonly mass: number;
}

type Document = Record<string, unknown>;

/** A scenario whose deck is written with factors on its properties. */
type Written = (factors: Factors, changes?: Document) => Document;

const nominal: Factors = { stiffness: 1, mass: 1 };
const soft: Factors = { stiffness: 0.5, mass: 1 };
const heavy: Factors = { stiffness: 1, mass: 1.5 };

const softAndHeavy: Factors = { stiffness: 0.7, mass: 1.2 };

const boundsOf = ({ stiffness, mass }: Factors, damping = 1): Document => ({
  decision: {
    bounds: { stiffness_factors: [stiffness], mass_factors: [mass], damping_factors: [damping] },
  },
});

const deckOf = (
  lengths: readonly number[],
  { stiffness, mass }: Factors,
  torsion: { readonly rigidity: number; readonly inertia: number } | null = null,
): Document => ({
  spans: lengths.map((length_m) => ({
    length_m,
    mass_kg_per_m: 14_000 * mass,
    flexural_rigidity_N_m2: 8e10 * stiffness,
    ...(torsion && {
      torsional_rigidity_N_m2: torsion.rigidity * stiffness,
      rotary_inertia_kg_m: torsion.inertia * mass,
    }),
  })),
  damping_ratio: 0.05,
});

const pierSoftened = (support: string, fraction: number) => ({
  kind: 'support-stiffness-loss',
  ...{ support, fraction },
});
const cracked = (fraction: number) => ({
  kind: 'deck-stiffness-loss',
  ...{ span: 1, from_m: 0, to_m: 20, fraction },
});
const damagedBy = (...effects: readonly object[]) => ({ damage_cases: [{ id: 'damaged', effects }] });

/** The same at every speed and whatever the modes, so that values can be compared digit by digit. */
const still = { trains: [{ load_model: 'LM71' }] };
const light = {
  trains: [{ id: 'unit', class: 'passenger', axles: [{ at_m: 0, load_kN: 100 }] }],
  speeds: { step_kmh: 64 },
};

const pierLost: Written = (factors, changes = {}) =>
  smallScenario(3, {
    deck: deckOf([20, 20, 20], factors),
    resistance: amplyResistant(3),
    limits: { overrides: { 'deck-deflection': 500 } },
    ...damagedBy(pierSoftened('S1', 1)),
    ...light,
    ...changes,
  });

const overJoint: Written = (factors, changes = {}) =>
  smallScenario(3, {
    deck: deckOf([20, 20, 20], factors),
    supports: [0, 1, 2, 3].map((index) => ({
      id: `S${index}`,
      stiffness_N_per_m: 3e8,
      joint: index === 2,
    })),
    resistance: amplyResistant(3),
    ...damagedBy(pierSoftened('S0', 0.25)),
    ...light,
    ...changes,
  });

const turning: Written = (factors, changes = {}) =>
  smallScenario(2, {
    deck: deckOf([30, 30], factors, { rigidity: 2e10, inertia: 2e5 }),
    supports: [0, 1, 2].map((index) => ({ id: `S${index}`, stiffness_N_per_m: 6e9, bearing_spread_m: 5 })),
    tracks: [{ eccentricity_m: -2.2 }, { eccentricity_m: 2.2 }],
    ...damagedBy({ kind: 'bearing-loss', support: 'S0', side: 'left' }),
    ...still,
    ...changes,
  });

const onSlab: Written = (factors, changes = {}) =>
  smallScenario(1, {
    deck: deckOf([30], factors),
    track: slabTrack,
    resistance: amplyResistantTrack(1),
    ...damagedBy(
      cracked(0.85),
      { kind: 'bedding-loss', from_m: 0.5, to_m: 2.5, fraction: 0.5 },
      { kind: 'fastening-loss', from_m: -1, to_m: 2, fraction: 0.5 },
    ),
    ...still,
    ...changes,
  });

/** Rails on the deck, whose clips give way at its ends. */
const clamped: Written = (factors, changes = {}) =>
  smallScenario(1, {
    deck: deckOf([30], factors),
    track: {
      rail: slabTrack.rail,
      fastening: { ...slabTrack.fastening, clamping_force_kN: 12, compression_stiffness_N_per_m: 1.2e8 },
    },
    ...damagedBy(cracked(0.5)),
    ...light,
    speeds: { from_kmh: 10, to_kmh: 20, step_kmh: 10 },
    ...changes,
  });

/** Closed at walking pace, so that no speeds are added to the given ones. */
const ofVehicles: Written = (factors, changes = {}) =>
  smallScenario(1, {
    deck: deckOf([20], factors),
    line: { speed_kmh: 60 },
    trains: [{ id: 'unit', class: 'passenger', vehicles: [{ vehicle: 'multiple-unit-car' }] }],
    speeds: { from_kmh: 50, to_kmh: 60, step_kmh: 10 },
    limits: { overrides: { 'body-acceleration': 1, 'track-geometry': 1 } },
    ...damagedBy(cracked(0.5)),
    ...changes,
  });

/** Without the intact case, which no bound moves. */
function damaged(document: Document) {
  const reading = readScenario(JSON.stringify(document));
  if (!reading.ok) throw new Error(reading.faults.map((fault) => fault.message).join('\n'));
  const part = planAssessment(reading.scenario).find(({ damageCase }) => damageCase === 'damaged')!;
  const { damageCase, trains } = runPart(reading.scenario, part);
  return { statics: damageCase.statics, train: trains[0]! };
}

const checkValue = ({ train: { checks } }: { readonly train: TrainResult }, id: string): number =>
  checks.find((check) => check.id === id)!.value!;

describe('what the damage has left, with bounds', () => {
  it('closes a line that it would close with the properties of the bound as nominal ones', () => {
    const asNominal = damaged(pierLost(nominal));
    const within = damaged(pierLost(nominal, boundsOf(soft)));
    expect(asNominal.train.status).toBe('line-speed');
    for (const { train } of [within, damaged(pierLost(soft))])
      expect(train).toMatchObject({ status: 'closed', governing: 'track-geometry' });
    // To be looked at: nominal.
    expect(within.statics).toEqual(asNominal.statics);
  });

  it('restricts a line as far as it would with the properties of the bound as nominal ones', () => {
    const asWritten = damaged(overJoint(heavy)).train;
    expect(asWritten).toMatchObject({ status: 'restricted', governing: 'joint-step' });
    expect(damaged(overJoint(nominal)).train.status).toBe('line-speed');
    expect(damaged(overJoint(nominal, boundsOf(heavy))).train).toMatchObject({
      status: 'restricted',
      governing: 'joint-step',
      permitted_speed_kmh: asWritten.permitted_speed_kmh,
    });
  });

  it.each<[string, readonly string[], Written, Factors]>([
    ['a lost pier', ['track-geometry'], pierLost, softAndHeavy],
    ['a softened abutment', ['track-geometry', 'joint-step'], overJoint, heavy],
    ['a lost bearing', ['joint-step', 'deck-twist'], turning, soft],
    [
      'a cracked span with losses below its track',
      ['track-geometry', 'fastening-uplift', 'slab-bending', 'rail-bending'],
      onSlab,
      softAndHeavy,
    ],
  ])('is after %s, in %j, what the bound as nominal properties leaves', (_, checks, written, factors) => {
    const asNominal = damaged(written(nominal, still));
    const asWritten = damaged(written(factors, still));
    const within = damaged(written(nominal, { ...still, ...boundsOf(factors) }));
    for (const check of checks) {
      expect(checkValue(asWritten, check), check).toBeGreaterThan(1.03 * checkValue(asNominal, check));
      expect(checkValue(within, check) / checkValue(asWritten, check), check).toBeCloseTo(1, 9);
    }
  });

  it('does not depend on the bound of damping', () => {
    const of = (document: Document) => checkValue(damaged(document), 'joint-step');
    const within = (damping: number) => of(overJoint(nominal, { ...still, ...boundsOf(heavy, damping) }));
    expect(within(0.8)).toBe(within(1));
  });

  it.each<[string, readonly string[], Written]>([
    ['clips that give way', ['fastening-uplift'], clamped],
    ['a train of vehicles', ['track-geometry', 'wheel-unloading', 'body-acceleration'], ofVehicles],
  ])('is felt by %s, in %j, as by them with the bound as nominal properties', (_, checks, written) => {
    const [asNominal, asWritten, within] = [
      written(nominal),
      written(soft),
      written(nominal, boundsOf(soft)),
    ].map(damaged);
    for (const check of checks) {
      expect(checkValue(asWritten!, check), check).toBeGreaterThan(1.1 * checkValue(asNominal!, check));
      // Other speeds in between.
      expect(checkValue(within!, check) / checkValue(asWritten!, check), check).toBeCloseTo(1, 2);
    }
  });
});
