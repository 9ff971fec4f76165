import { describe, expect, it } from 'vitest';
import {
  bothProfiles,
  irregularityProfile,
  type SampledIrregularity,
  samplePeriod,
} from '../../../../solver/vehicle/track-irregularity.js';

const sample = (seed: number): SampledIrregularity => ({
  kind: 'sample',
  spectrum: { strength: 4e-7, lower: 0.02, upper: 0.82 },
  seed,
  shortestWave: 3,
  longestWave: 70,
});
const levels = (seed: number) => {
  const { levelAt } = irregularityProfile(sample(seed));
  return Array.from({ length: 400 }, (_, k) => levelAt(-100 + 0.7 * k));
};

describe('a sampled irregularity', () => {
  it('is the same for the same seed and another for another, small seeds included', () => {
    expect(levels(1)).toEqual(levels(1));
    const [one, two] = [levels(1), levels(2)];
    const product = (a: number[], b: number[]) => a.reduce((sum, value, k) => sum + value * b[k]!, 0);
    const likeness = product(one, two) / Math.sqrt(product(one, one) * product(two, two));
    expect(Math.abs(likeness)).toBeLessThan(0.5);
  });

  it('goes on without a seam after its period and before its beginning', () => {
    const { levelAt } = irregularityProfile(sample(3));
    for (const x of [0, 0.01, 17.3, samplePeriod - 0.01]) {
      expect(levelAt(x + samplePeriod)).toBeCloseTo(levelAt(x), 12);
      expect(levelAt(x - samplePeriod)).toBeCloseTo(levelAt(x), 12);
    }
    expect(Math.abs(levelAt(1e-6) - levelAt(-1e-6))).toBeLessThan(1e-7);
  });

  it('has neither a mean nor waves outside its band', () => {
    const { levelAt } = irregularityProfile(sample(5));
    const count = 4096;
    const part = (wave: number) => {
      let real = 0;
      let imaginary = 0;
      for (let k = 0; k < count; k++) {
        const x = (k * samplePeriod) / count;
        real += levelAt(x) * Math.cos((2 * Math.PI * x) / wave);
        imaginary += levelAt(x) * Math.sin((2 * Math.PI * x) / wave);
      }
      return Math.hypot(real, imaginary) / count;
    };
    expect(part(samplePeriod / 40)).toBeGreaterThan(1e-5);
    for (const wave of [Number.POSITIVE_INFINITY, samplePeriod / 10, samplePeriod / 750])
      expect(part(wave)).toBeLessThan(1e-7);
  });
});

describe('a measured irregularity', () => {
  const heights = Float64Array.from({ length: 41 }, (_, k) => 1e-3 * Math.sin(0.4 * k) * (k % 7));
  const profile = irregularityProfile({ kind: 'profile', from: -2, step: 0.25, levels: heights });

  it('passes through its levels', () => {
    heights.forEach((level, k) => {
      expect(profile.levelAt(-2 + 0.25 * k)).toBeCloseTo(level, 15);
    });
  });

  it('is mirrored beyond its ends, again and again', () => {
    for (const away of [0, 0.1, 3.3, 9.9]) {
      expect(profile.levelAt(-2 - away)).toBeCloseTo(profile.levelAt(-2 + away), 12);
      expect(profile.levelAt(8 + away)).toBeCloseTo(profile.levelAt(8 - away), 12);
      expect(profile.levelAt(-2 + away + 40)).toBeCloseTo(profile.levelAt(-2 + away), 12);
    }
  });

  it('adds to what damage did to the rail', () => {
    const sagging = { levelAt: (x: number) => 0.01 * x, everywhere: false, shortestWave: 30 };
    const both = bothProfiles(sagging, profile);
    expect(both?.levelAt(3)).toBeCloseTo(0.03 + profile.levelAt(3), 15);
    expect(both).toMatchObject({ everywhere: true, shortestWave: 1 });
    expect(bothProfiles(null, null)).toBeNull();
    expect(bothProfiles(sagging, null)).toBe(sagging);
  });
});
