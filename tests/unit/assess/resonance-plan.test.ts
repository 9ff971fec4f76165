import { describe, expect, it } from 'vitest';
import type { SweptPoint } from '../../../worker/assess/refine-sweep.js';
import { ResonancePlan } from '../../../worker/assess/resonance-plan.js';

const point = (speedKmh: number, acceleration: number, bending = 0.2): SweptPoint => ({
  speedKmh,
  utilisations: new Map([
    ['deck-acceleration', acceleration],
    ['bending', bending],
  ]),
});
const lines = [
  { speedKmh: 62, acceleration: 0.2 },
  { speedKmh: 84, acceleration: 3 },
  { speedKmh: 95, acceleration: 0.2 },
];

describe('a plan of resonances', () => {
  it('begins with the strong ones, but for those that stand on the grid', () => {
    const wanted = new Set([0, 60, 80, 100]);
    new ResonancePlan(lines, 0.5, 0.01).addStrong(wanted);
    expect([...wanted]).toEqual([0, 60, 80, 100, 84]);
    const near = new Set([84.05]);
    new ResonancePlan(lines, 0.5, 0.01).addStrong(near);
    expect([...near]).toEqual([84.05]);
  });

  it('looks at a weak one, once, where a check beside it is nearly used up', () => {
    const plan = new ResonancePlan(lines, 0.5, 0.01);
    const grid = [point(0, 0), point(60, 0.3), point(80, 0.4), point(100, 0.75)];
    expect(plan.deciding(grid)).toEqual([95]);
    expect(plan.deciding(grid)).toEqual([]);
  });

  it('looks at it where another check hangs, or fails on one side', () => {
    const bent = [point(0, 0), point(60, 0.1, 0.9), point(80, 0.1, 0.5), point(100, 0.1, 0.5)];
    expect(new ResonancePlan(lines, 0.5, 0.01).deciding(bent)).toEqual([62]);
    const crossing = [point(0, 0), point(60, 0.2), point(80, 1.3), point(100, 1.4)];
    expect(new ResonancePlan(lines, 0.5, 0.01).deciding(crossing)).toEqual([62]);
  });

  it('leaves it where all have room, or what fails fails on both sides', () => {
    const calm = [point(0, 0), point(60, 0.3), point(80, 0.4), point(100, 0.5)];
    expect(new ResonancePlan(lines, 0.5, 0.01).deciding(calm)).toEqual([]);
    const failing = [point(0, 0), point(60, 1.1), point(80, 1.2), point(100, 1.3)];
    expect(new ResonancePlan(lines, 0.5, 0.01).deciding(failing)).toEqual([]);
  });
});
