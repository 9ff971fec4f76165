import { beforeAll, describe, expect, it } from 'vitest';
import type { Result, TrainResult } from '../../../scenarios/result.js';
import { amplyResistantTrack, assess, slabTrack, smallScenario } from './assess-scenario.js';

const cars = (load_kN: number) => [0, 2.5, 17, 19.5, 25, 27.5, 42, 44.5].map((at_m) => ({ at_m, load_kN }));
const lost = (id: string, to_m: number, fraction: number) => ({
  id,
  effects: [{ kind: 'bedding-loss', from_m: 26, to_m, fraction }],
});

const onApproach = {
  id: 'approach',
  effects: [{ kind: 'bedding-loss', from_m: -70.4, to_m: -60.4, fraction: 1 }],
};

let result: Result;

beforeAll(() => {
  result = assess(
    smallScenario(2, {
      line: { speed_kmh: 160, start_chainage_km: 7 },
      resistance: amplyResistantTrack(2),
      track: slabTrack,
      trains: [
        { id: 'light', class: 'passenger', axles: cars(140) },
        { id: 'heavy', class: 'freight', axles: cars(225) },
        { load_model: 'LM71' },
      ],
      damage_cases: [lost('short', 32, 1), lost('long', 36, 1), lost('soft', 36, 0.3), onApproach],
    }),
  );
}, 120_000);

const of = (damageCase: string, train: string): TrainResult =>
  result.cases
    .find(({ damage_case }) => damage_case === damageCase)!
    .trains.find((one) => one.train === train)!;
const level = (train: TrainResult) => train.checks.find(({ id }) => id === 'track-geometry');

describe('the level of a track that has lost its bedding', () => {
  it('is that under the wheels: a heavier train, and a longer stretch, count as the larger defect', () => {
    for (const damageCase of ['short', 'long']) {
      expect(level(of(damageCase, 'heavy'))!.value!).toBeGreaterThan(
        1.4 * level(of(damageCase, 'light'))!.value!,
      );
      expect(level(of(damageCase, 'LM71'))!.value!).toBeGreaterThan(level(of(damageCase, 'heavy'))!.value!);
    }
    for (const train of ['light', 'heavy', 'LM71'])
      expect(level(of('long', train))!.value!).toBeGreaterThan(2 * level(of('short', train))!.value!);
  });

  it('slows a train under which ten metres of slab hang, the heavier one more', () => {
    expect(of('long', 'light').permitted_speed_kmh).toBeLessThan(160);
    expect(of('long', 'light').governing).toBe('track-geometry');
    expect(of('long', 'heavy').permitted_speed_kmh ?? 0).toBeLessThan(
      of('long', 'light').permitted_speed_kmh!,
    );
  });

  it('is found on the stretch', () => {
    const { at_m, where } = level(of('long', 'heavy'))!;
    expect(where).toBe(`track ${at_m!.toFixed(1)} m from support S0, km ${(7 + at_m! / 1e3).toFixed(3)}`);
    expect(of('long', 'heavy').reason).toContain(`(${where})`);
    expect(at_m!).toBeGreaterThan(29);
    expect(at_m!).toBeLessThan(33);
  });

  it('is judged on the approaches as well, and the restriction reaches as far', () => {
    const beside = of('approach', 'heavy');
    // Where the loss ends between two seats makes a per cent.
    const ratio = level(beside)!.value! / level(of('long', 'heavy'))!.value!;
    expect(Math.abs(ratio - 1)).toBeLessThan(0.02);
    expect(level(beside)!.at_m!).toBeLessThan(-62);
    expect(level(beside)!.where).toMatch(/^track 6\d\.\d m before support S0, km 6\.93\d$/);
    expect(beside.permitted_speed_kmh).toBe(of('long', 'heavy').permitted_speed_kmh);
    for (const [damageCase, from] of [
      ['approach', 6.9296],
      ['long', 7],
    ] as const) {
      const given = result.recommendations.find((one) => one.damage_case === damageCase)!;
      expect(given.from_chainage_km!).toBeCloseTo(from, 9);
      expect(given.to_chainage_km!).toBeCloseTo(7.06, 9);
      expect([given.from_m, given.to_m]).toEqual([damageCase === 'long' ? 0 : -70.4, 60]);
    }
  });

  it('is hardly changed by bedding that has become a little softer', () => {
    expect(level(of('soft', 'heavy'))!.value!).toBeLessThan(1);
    expect(of('soft', 'heavy').status).toBe('line-speed');
  });

  it('is not asked for before damage', () => {
    expect(level(of('intact', 'heavy'))).toBeUndefined();
  });
});
