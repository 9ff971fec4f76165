import { beforeAll, describe, expect, it } from 'vitest';
import type { TrainResult } from '../../../scenarios/result.js';
import { assess, smallScenario, trainOf } from './assess-scenario.js';

const check = (train: TrainResult, id: string) => train.checks.find((one) => one.id === id);

let passenger: TrainResult;
let freight: TrainResult;
let settled: TrainResult;

beforeAll(() => {
  const result = assess(
    smallScenario(1, {
      supports: [{ id: 'S0' }, { id: 'S1' }],
      trains: [
        { id: 'unit', class: 'passenger', vehicles: [{ vehicle: 'multiple-unit-car' }] },
        { id: 'goods', class: 'freight', vehicles: [{ vehicle: 'bogie-wagon-loaded' }] },
      ],
      speeds: { from_kmh: 40, to_kmh: 192, step_kmh: 76 },
      limits: { overrides: { 'body-acceleration': 0.1, 'ride-comfort': 3 } },
      damage_cases: [
        { id: 'settled', effects: [{ kind: 'support-settlement', support: 'S1', settlement_mm: 10 }] },
      ],
    }),
  );
  passenger = trainOf(result, 'intact');
  freight = trainOf(result, 'intact', 'goods');
  settled = trainOf(result, 'settled', 'goods');
}, 120_000);

describe('a train of vehicles', () => {
  it('has wheel unloading judged for safety, acceleration and ride for comfort', () => {
    expect(check(passenger, 'wheel-unloading')).toMatchObject({ kind: 'safety', evidence: 'given' });
    expect(check(passenger, 'body-acceleration')).toMatchObject({ kind: 'comfort' });
    expect(check(passenger, 'ride-comfort')).toMatchObject({ kind: 'comfort' });
    expect(passenger.sweep.wheel_unloading).toHaveLength(passenger.sweep.speed_kmh.length);
  });

  it('has its ride judged by Wk, and Wb told beside it', () => {
    const { speed_kmh, value } = check(passenger, 'ride-comfort')!;
    const at = passenger.sweep.speed_kmh.indexOf(speed_kmh!);
    const [judged, beside] = (['ride_comfort_m_per_s2', 'continuous_comfort_m_per_s2'] as const).map(
      (key) => passenger.sweep[key]![at]!,
    );
    expect(value! / judged!).toBeCloseTo(1, 9);
    expect(value).not.toBeCloseTo(beside!, 9);
  });

  it('is not slowed for safety by what only passengers feel', () => {
    expect(check(passenger, 'body-acceleration')!.utilisation).toBeGreaterThan(1);
    expect(passenger.comfort_speed_kmh).toBeLessThan(160);
    expect(passenger.permitted_speed_kmh).toBe(160);
    expect(passenger.governing).not.toBe('body-acceleration');
  });

  it('feels the settlement of a damaged deck', () => {
    const unloading = (train: TrainResult) => check(train, 'wheel-unloading')!.value!;
    expect(unloading(settled)).toBeGreaterThan(2 * unloading(freight));
  });

  it('of goods wagons has no comfort to judge', () => {
    expect(check(freight, 'ride-comfort')).toBeUndefined();
    expect(check(freight, 'wheel-unloading')).toBeDefined();
    expect(freight.comfort_speed_kmh).toBeNull();
  });
});

describe('a train of vehicles over an irregular rail', () => {
  const over = (irregularity: object) =>
    assess(
      smallScenario(1, {
        supports: [{ id: 'S0' }, { id: 'S1' }],
        trains: [{ id: 'unit', class: 'passenger', vehicles: [{ vehicle: 'multiple-unit-car' }] }],
        speeds: { from_kmh: 120, to_kmh: 160, step_kmh: 40 },
        ...irregularity,
      }),
    );
  const sample = (seed: number) => over({ track_irregularity: { sample: { spectrum: 'fra-5', seed } } });
  const unloading = (result: ReturnType<typeof over>) =>
    check(trainOf(result, 'intact', 'unit'), 'wheel-unloading')!.value!;
  const smooth = over({});
  const rough = sample(7);

  it('has its wheels unloaded more than over a smooth one, the same each time, and otherwise with another seed', () => {
    expect(unloading(rough)).toBeGreaterThan(1.5 * unloading(smooth));
    expect(rough).toEqual(sample(7));
    expect(unloading(sample(8))).not.toBeCloseTo(unloading(rough), 3);
  });

  it('creeps over it without being shaken', () => {
    const level = Array.from({ length: 400 }, (_, k) => 5 * Math.sin((2 * Math.PI * (k - 100) * 0.25) / 20));
    const slow = assess(
      smallScenario(1, {
        supports: [{ id: 'S0' }, { id: 'S1' }],
        line: { speed_kmh: 5 },
        speeds: { from_kmh: 5, to_kmh: 6, step_kmh: 1 },
        trains: [{ id: 'unit', class: 'passenger', vehicles: [{ vehicle: 'multiple-unit-car' }] }],
        track_irregularity: { profile: { from_m: -25, step_m: 0.25, level_mm: level } },
      }),
    );
    expect(unloading(slow)).toBeGreaterThan(0);
    expect(unloading(slow)).toBeLessThan(0.02);
  });

  it('is not called comfortable faster than it may run', () => {
    const train = trainOf(smooth, 'intact', 'unit');
    expect(train.permitted_speed_kmh).toBe(130);
    expect(train.comfort_speed_kmh).toBe(130);
  });

  it('says so in the cautions, in place of the one about a smooth rail', () => {
    expect(smooth.cautions.some((caution) => caution.includes('without irregularities'))).toBe(true);
    expect(rough.cautions.some((caution) => caution.includes('without irregularities'))).toBe(false);
    expect(rough.cautions.some((caution) => /FRA class 5.*seed|seed.*FRA class 5/.test(caution))).toBe(true);
  });

  it('is warned of an irregularity that no train could use', () => {
    const { cautions } = over({
      trains: [{ load_model: 'A', wagons: 1 }],
      track_irregularity: { sample: { spectrum: 'fra-4', seed: 1 } },
    });
    expect(cautions.some((caution) => caution.includes('was not used'))).toBe(true);
  });
});
