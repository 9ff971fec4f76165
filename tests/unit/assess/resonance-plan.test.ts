import { describe, expect, it } from 'vitest';
import type { SweptPoint } from '../../../worker/assess/refine-sweep.js';
import { ResonancePlan } from '../../../worker/assess/resonance-plan.js';
import type { ResonanceSpeed } from '../../../worker/assess/resonance-speeds.js';

const point = (speedKmh: number, acceleration: number, bending = 0.2): SweptPoint => ({
  speedKmh,
  nearness: new Map([
    ['deck-acceleration', acceleration],
    ['bending', bending],
  ]),
});
const limit = 5;
const line = (speedKmh: number, acceleration: number, bending = 0): ResonanceSpeed => ({
  speedKmh,
  acceleration,
  lifts: new Map([
    ['deck-acceleration', acceleration / limit],
    ['bending', bending],
  ]),
});
const lines = [line(62, 0.2), line(84, 3), line(95, 0.2)];

const planOf = (of = lines, fromKmh = 10) => new ResonancePlan(of, fromKmh, 0.01);

describe('a plan of resonances', () => {
  /** Two dozen strong ones far above, which are looked at in any case. */
  const strong = Array.from({ length: 24 }, (_, i) => line(200 + 5 * i, 4));
  const all = [...lines, ...strong];

  it('begins with the two dozen strongest of the speeds asked for, but for those that stand on the grid', () => {
    const wanted = new Set([200.01]);
    planOf(all).addStrongest(wanted);
    expect([...wanted]).toEqual([200.01, ...strong.slice(1).map(({ speedKmh }) => speedKmh)]);
    const few = new Set<number>();
    planOf(lines, 90).addStrongest(few);
    expect([...few]).toEqual([95]);
  });

  it('looks at another, once, where it may lift the acceleration beside it over its limit', () => {
    const plan = planOf(all);
    const calm = [point(0, 0), point(60, 0.3), point(80, 0.4), point(100, 0.5)];
    // 0.5 + 2 x 3 / 5 is above 1, 0.5 + 2 x 0.2 / 5 is not.
    expect(plan.deciding(calm)).toEqual([84]);
    expect(plan.deciding(calm)).toEqual([]);
  });

  it('looks at one of a low mode, which accelerates the deck little, where it may lift another check over its limit', () => {
    const calm = [point(0, 0), point(60, 0.3, 0.3), point(80, 0.3, 0.3), point(100, 0.3, 0.3)];
    // 0.3 + 2 x 0.4 is above 1, 0.3 + 2 x 0.3 is not.
    expect(planOf([...strong, line(62, 0.2, 0.4), line(84, 0.2, 0.3)]).deciding(calm)).toEqual([62]);
  });

  it('looks at one where a check hangs, or fails on one side', () => {
    const bent = [point(0, 0), point(60, 0.1, 0.9), point(80, 0.1, 0.5), point(100, 0.1, 0.5)];
    expect(planOf(all).deciding(bent)).toEqual([62, 84]);
    const crossing = [point(0, 0), point(60, 0.2), point(80, 1.3), point(100, 1.4)];
    expect(planOf(all).deciding(crossing)).toEqual([62]);
  });

  it('leaves it where all have room, or what fails fails on both sides', () => {
    const failing = [point(0, 0), point(60, 1.1), point(80, 1.2), point(100, 1.3)];
    expect(planOf(all).deciding(failing)).toEqual([]);
  });
});
