import { beforeAll, describe, expect, it } from 'vitest';
import type { Result, TrainResult } from '../../../scenarios/result.js';
import { assess, smallScenario, trainOf } from './assess-scenario.js';

const over = (fastening: object, rail: object = {}): Result =>
  assess(
    smallScenario(2, {
      supports: [{ id: 'S0' }, { id: 'S1', stiffness_N_per_m: 2e9, joint: true }, { id: 'S2' }],
      track: {
        rail: { mass_kg_per_m: 120, flexural_rigidity_N_m2: 12.76e6, ...rail },
        fastening: { spacing_m: 0.65, stiffness_N_per_m: 80e6, damping_N_s_per_m: 60e3, ...fastening },
      },
      trains: [
        {
          id: 'unit',
          class: 'passenger',
          axles: [0, 2.5, 15, 17.5].map((at_m) => ({ at_m, load_kN: 160 })),
        },
      ],
      speeds: { from_kmh: 80, to_kmh: 192, step_kmh: 56 },
      damage_cases: [
        { id: 'sunk', effects: [{ kind: 'support-settlement', support: 'S0', settlement_mm: 1 }] },
      ],
    }),
  );
const uplift = (train: TrainResult) => train.checks.find(({ id }) => id === 'fastening-uplift')!;

let linear: Result;
let tight: Result;
let loose: Result;

beforeAll(() => {
  linear = over({});
  tight = over({ clamping_force_kN: 400 });
  loose = over(
    { clamping_force_kN: 12, compression_stiffness_N_per_m: 1.2e8 },
    { section_modulus_m3: 7.5e-4 },
  );
}, 120_000);

describe('fastenings followed beyond their clamping', () => {
  it('are reported at every deck end, and not at all where no clamping force is given', () => {
    expect(trainOf(linear, 'intact').deck_ends).toBeUndefined();
    expect(trainOf(loose, 'intact').deck_ends!.map(({ support }) => support)).toEqual(['S0', 'S1', 'S2']);
  });

  it('never come out better than linear ones', () => {
    for (const result of [tight, loose])
      expect(uplift(trainOf(result, 'intact')).utilisation!).toBeGreaterThanOrEqual(
        uplift(trainOf(linear, 'intact')).utilisation!,
      );
  });

  it('agree with linear ones on an intact deck while the clamping suffices', () => {
    const before = uplift(trainOf(linear, 'intact')).value!;
    // The static position of the train stands in for the one in which it sways most: a few per cent.
    expect(uplift(trainOf(tight, 'intact')).value! / before).toBeLessThan(1.05);
    for (const end of trainOf(tight, 'intact').deck_ends!) {
      expect(end.pull_kN).toBeCloseTo(end.linear_pull_kN, 9);
      expect(end.released_seats).toBe(0);
    }
  });

  it('are pulled by the step of a sunken abutment, and fail once the pads are free', () => {
    const sunk = trainOf(loose, 'sunk');
    const end = sunk.deck_ends![0]!;
    expect(end.released_seats).toBeGreaterThan(0);
    expect(end.pull_kN).toBeCloseTo(12, 9);
    expect(end.linear_pull_kN).toBeGreaterThan(12);
    expect(uplift(sunk)).toMatchObject({ limit: 12, permitted_speed_kmh: null });
    expect(uplift(sunk).where).toContain('off the pad');
    expect(end.rail_stress_increment_N_per_mm2!).toBeCloseTo(end.rail_bending_increment_kNm / 0.75, 9);
  });

  it('rise further when there is less to hold them', () => {
    const at = (result: Result) => trainOf(result, 'sunk').deck_ends![0]!.uplift_mm;
    expect(at(loose)).toBeGreaterThan(at(tight));
  });
});
