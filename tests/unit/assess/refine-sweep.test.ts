import { describe, expect, it } from 'vitest';
import { speedsToAdd } from '../../../worker/assess/refine-sweep.js';

/** Response of one resonance of the given damping ratio over a quasi-static background. */
const resonance = (speed: number, at: number, damping: number, height: number) => {
  const ratio = speed / at;
  return 0.1 + height / Math.sqrt((1 - ratio ** 2) ** 2 / (2 * damping) ** 2 + ratio ** 2);
};

function refine(curve: (speed: number) => number, grid: number[], dampingRatio: number): Map<number, number> {
  const samples = new Map(grid.map((speed) => [speed, curve(speed)]));
  for (let round = 0; round < 60; round++) {
    const points = [...samples]
      .sort(([a], [b]) => a - b)
      .map(([speedKmh, value]) => ({ speedKmh, nearness: new Map([['check', value]]) }));
    const more = speedsToAdd(points, { dampingRatio }).filter((speed) => !samples.has(speed));
    if (more.length === 0) return samples;
    for (const speed of more) samples.set(speed, curve(speed));
  }
  throw new Error('refinement did not come to an end');
}

const grid = (step: number) => Array.from({ length: Math.floor(240 / step) }, (_, i) => (i + 1) * step);

describe('refinement of a sweep', () => {
  it.each([0.005, 0.01, 0.02])('resolves the peak of a resonance of damping %f to 1 %%', (damping) => {
    const curve = (speed: number) => resonance(speed, 143.7, damping, 0.7);
    const samples = refine(curve, grid(5), damping);
    const found = Math.max(...samples.values());
    const exact = Math.max(...Array.from({ length: 24_000 }, (_, i) => curve(i / 100)));
    expect(found).toBeLessThanOrEqual(exact * (1 + 1e-9));
    expect(found).toBeGreaterThan(0.99 * exact);
  });

  it('resolves to 1 % a crest that samples on its own flanks already show to be higher', () => {
    const curve = (speed: number) => resonance(speed, 143.7, 0.02, 0.7);
    const flanks = [142, 142.4, 145, 146];
    const crest = curve(143.65);
    // Near enough to one another for a parabola to be trusted, and well below what it shows.
    expect(crest / Math.max(...flanks.map(curve))).toBeGreaterThan(1.02);
    expect(crest / Math.max(...flanks.map(curve))).toBeLessThan(1.09);
    expect(Math.max(...refine(curve, flanks, 0.02).values())).toBeGreaterThan(0.99 * crest);
  });

  it('asks once for a speed that two series of one shape want', () => {
    const curve = (speed: number) => resonance(speed, 143.7, 0.01, 0.7);
    const points = grid(5).map((speedKmh) => ({
      speedKmh,
      nearness: new Map([
        ['shear', curve(speedKmh)],
        ['support-reaction', (curve(speedKmh) * 0.7) / 0.6],
      ]),
    }));
    const alone = points.map(({ speedKmh }) => ({
      speedKmh,
      nearness: new Map([['shear', curve(speedKmh)]]),
    }));
    const asked = speedsToAdd(points, { dampingRatio: 0.01 });
    expect(asked.length).toBeGreaterThan(0);
    expect(asked).toHaveLength(speedsToAdd(alone, { dampingRatio: 0.01 }).length);
  });

  it('brackets every crossing of a limit within 1 km/h', () => {
    const curve = (speed: number) => resonance(speed, 143.7, 0.01, 1.4);
    const samples = [...refine(curve, grid(5), 0.01)].sort(([a], [b]) => a - b);
    const crossings = samples.filter(([, value], i) => i > 0 && value > 1 !== samples[i - 1]![1] > 1);
    expect(crossings).toHaveLength(2);
    for (const [speed] of crossings) {
      const before = samples[samples.findIndex(([other]) => other === speed) - 1]!;
      expect(speed - before[0]).toBeLessThanOrEqual(1);
    }
  });

  it('looks between samples at a crest that passes the limit by a thousandth', () => {
    const points = [
      [106.81, 0.968],
      [106.93, 0.998],
      [107.12, 0.977],
    ].map(([speedKmh, value]) => ({ speedKmh: speedKmh!, nearness: new Map([['bearing-uplift', value!]]) }));
    const [speed, ...others] = speedsToAdd(points, { dampingRatio: 0.005 });
    expect(others).toEqual([]);
    expect(speed).toBeGreaterThan(106.93);
    expect(speed).toBeLessThan(107.12);
  });

  it('looks where a crest between samples that pass would not', () => {
    const passing = [
      { speedKmh: 100, nearness: new Map([['bending', 0.985]]) },
      { speedKmh: 101, nearness: new Map([['bending', 0.9995]]) },
      { speedKmh: 102, nearness: new Map([['bending', 0.998]]) },
    ];
    // The parabola through the three reaches 1.0008 at 101.4 km/h: within 1 % of the best sample, and beyond the limit.
    const [speed, ...others] = speedsToAdd(passing, { dampingRatio: 0.02 });
    expect(others).toEqual([]);
    expect(speed).toBeCloseTo(101.40625, 9);
  });

  it('finds a narrow crest on a plateau that passes the limit between samples far below it', () => {
    // As a bogie entering over an elastic end makes it; wide apart, the samples at the sides seem to lie on the crest.
    const curve = (speed: number) => 0.925 + 0.1 * Math.exp(-(((speed - 23.35) / 0.36) ** 2));
    const samples = refine(curve, [21.74, 22.37, 23.01, 23.98, 25], 0.0233);
    expect(Math.max(curve(23.01), curve(23.98))).toBeLessThan(0.97);
    expect(Math.max(...samples.values())).toBeGreaterThan(1);
  });

  it('finds a crest that passes the limit between samples within 1 % of each other', () => {
    // As the sixth multiple of a car's length makes it, the speed predicted for it lying beside the crest.
    const curve = (speed: number) => 0.89 + 0.125 * Math.exp(-(((speed - 119.37) / 1.4) ** 2));
    const seen = [115, 118.69, 120, 120.08, 125];
    for (const beside of [118.69, 120.08]) expect(curve(beside) / curve(120)).toBeGreaterThan(0.99);
    for (const beside of [118.69, 120.08]) expect(curve(beside)).toBeLessThan(curve(120));
    expect(curve(120)).toBeLessThan(1);
    expect(Math.max(...refine(curve, seen, 0.0081).values())).toBeGreaterThan(1);
  });

  it('adds nothing to a plateau', () => {
    expect(refine(() => 0.8, grid(10), 0.01).size).toBe(24);
  });

  it('spends few speeds: a single resonance costs less than thirty', () => {
    expect(refine((speed) => resonance(speed, 143.7, 0.01, 0.7), grid(5), 0.01).size).toBeLessThan(48 + 30);
  });
});
