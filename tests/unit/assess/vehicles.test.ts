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
