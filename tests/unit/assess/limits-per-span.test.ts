import { describe, expect, it } from 'vitest';
import type { Check, TrainResult } from '../../../scenarios/result.js';
import { assess, smallScenario, trainOf } from './assess-scenario.js';

/** Two spans, the shorter one with the smaller limit in mm and the longer one with the larger deflection. */
const spans = [16, 32].map((length_m) => ({
  ...{ length_m, mass_kg_per_m: 14_000, flexural_rigidity_N_m2: 6e10 },
}));

function limited(check: string, unit: string, steps: readonly object[]): TrainResult {
  const limits = [{ check, kind: 'safety', unit, steps, source: 'rule 1' }];
  const own_set = { format: 'deckpace/limits@1', id: 'own', title: 'Own', limits };
  return trainOf(
    assess(smallScenario(2, { deck: { spans, damping_ratio: 0.02 }, limits: { own_set } })),
    'intact',
  );
}

const checkOf = ({ checks }: TrainResult, id: string): Check => checks.find((check) => check.id === id)!;

describe('a limit of span / n', () => {
  const steps = [
    { up_to_kmh: 80, value: 600 },
    { up_to_kmh: 120, value: 800 },
  ];

  it('is told in mm past its last step as well, with the largest deflection there', () => {
    const train = limited('deck-deflection', 'L/n', steps);
    expect(train).toMatchObject({ status: 'restricted', permitted_speed_kmh: 100 });
    const { value, limit, speed_kmh, where } = checkOf(train, 'deck-deflection');
    expect(where).toBe('span 2');
    expect(limit).toBeCloseTo(32_000 / 800, 9);
    const { speed_kmh: speeds, deck_deflection_mm: deflections } = train.sweep;
    const there = speeds.findIndex((speed) => Math.abs(speed - speed_kmh!) < 1e-5);
    expect(value).toBeCloseTo(deflections![there]!, 9);
  });

  it('changes along a sweep as its steps do', () => {
    const [slow, fast, ...more] = limited('deck-deflection', 'L/n', steps).sweep_limits.deck_deflection_mm!;
    expect(more).toEqual([]);
    expect([slow!.up_to_kmh, fast!.up_to_kmh]).toEqual([80, 120]);
    expect(slow!.limit / fast!.limit).toBeCloseTo(800 / 600, 9);
  });
});

describe('a limit past its last step', () => {
  it('is told with the part that is nearest to the last there was', () => {
    const resistance = {
      spans: [30_000, 12_000].map((moment) => ({ sagging_kNm: moment, hogging_kNm: moment, shear_kN: 6e3 })),
    };
    const limits = [
      {
        check: 'bending',
        kind: 'safety',
        unit: '-',
        steps: [{ up_to_kmh: 100, value: 1 }],
        source: 'rule 2',
      },
    ];
    const own_set = { format: 'deckpace/limits@1', id: 'own', title: 'Own', limits };
    const scenario = smallScenario(2, { resistance, limits: { own_set } });
    const { where, value, limit } = checkOf(trainOf(assess(scenario), 'intact'), 'bending');
    expect(where).toMatch(/^span 2/);
    expect(value! / limit!).toBeGreaterThan(0.5);
  });
});
