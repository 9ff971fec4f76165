import { beforeAll, describe, expect, it } from 'vitest';
import type { TrainResult } from '../../../scenarios/result.js';
import { assess, smallScenario, trainOf } from './assess-scenario.js';

const vehicles = [{ vehicle: 'multiple-unit-car', count: 2 }];
const check = (train: TrainResult, id: string) => train.checks.find((one) => one.id === id);

let plain: TrainResult;
let strict: TrainResult;
let freight: TrainResult;

beforeAll(() => {
  const limits = (overrides: object) => ({ limits: { overrides } });
  const trains = (list: object) => ({ trains: [{ id: 'unit', class: 'passenger', vehicles: list }] });
  plain = trainOf(assess(smallScenario(2, trains(vehicles))), 'intact');
  strict = trainOf(
    assess(
      smallScenario(2, { ...trains(vehicles), ...limits({ 'body-acceleration': 0.1, 'ride-comfort': 3 }) }),
    ),
    'intact',
  );
  freight = trainOf(assess(smallScenario(2, trains([{ vehicle: 'bogie-wagon-empty', count: 2 }]))), 'intact');
}, 60_000);

describe('a train of vehicles', () => {
  it('has wheel unloading judged for safety, acceleration and ride for comfort', () => {
    expect(check(plain, 'wheel-unloading')).toMatchObject({ kind: 'safety', evidence: 'given' });
    expect(check(plain, 'body-acceleration')).toMatchObject({ kind: 'comfort' });
    expect(check(plain, 'ride-comfort')).toMatchObject({ kind: 'comfort' });
    expect(plain.sweep.wheel_unloading).toHaveLength(plain.sweep.speed_kmh.length);
    expect(plain.comfort_speed_kmh).toBe(160);
  });

  it('is not slowed for safety by what only passengers feel', () => {
    expect(check(strict, 'body-acceleration')!.utilisation).toBeGreaterThan(1);
    expect(strict.comfort_speed_kmh === null || strict.comfort_speed_kmh < 160).toBe(true);
    expect(strict.permitted_speed_kmh).toBe(plain.permitted_speed_kmh);
    expect(strict.governing).not.toBe('body-acceleration');
  });

  it('of goods wagons has no comfort to judge', () => {
    expect(check(freight, 'ride-comfort')).toBeUndefined();
    expect(check(freight, 'wheel-unloading')).toBeDefined();
    expect(freight.comfort_speed_kmh).toBeNull();
  });
});
