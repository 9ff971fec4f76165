import { describe, expect, it } from 'vitest';
import {
  type FrequencyWeighting,
  weightingFactor,
  weightingWb,
  weightingWk,
} from '../../../../solver/comfort/frequency-weighting.js';
import { largestWindowRms, weightedHistories } from '../../../../solver/comfort/weighted-rms.js';

/** s */
const interval = 8e-3;
/** s; the band limit at 0.4 Hz forgets as exp(-2 pi 0.4 t / sqrt 2): of what went before, 1.4e-4 is left after this time. */
const memory = 5;
const remembered = Math.exp((-2 * Math.PI * 0.4 * memory) / Math.SQRT2);

const samples = (seconds: number) => Math.round(seconds / interval);
const history = (seconds: number, valueAt: (time: number) => number) =>
  Float64Array.from({ length: samples(seconds) }, (_, k) => valueAt(k * interval));
const sine = (frequency: number) => (time: number) => Math.sin(2 * Math.PI * frequency * time);
const weigh = (one: Float64Array, weighting: FrequencyWeighting = weightingWk) =>
  weightedHistories([one], interval, weighting)[0]!;
const largest = (values: Float64Array) => values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);

describe('weighted histories', () => {
  it.each([
    ['Wk', weightingWk],
    ['Wb', weightingWb],
  ])('a steady sine has the root mean square |H| / sqrt 2 under %s', (_, weighting) => {
    for (const frequency of [0.5, 1, 2, 5, 8, 12.5, 20]) {
      const weighted = weigh(history(30, sine(frequency)), weighting);
      // Whole periods, and twice the memory after the sine sets in.
      const steady = weighted.subarray(samples(2 * memory), samples(2 * memory + 10));
      const expected = weightingFactor(weighting, frequency) / Math.SQRT2;
      expect(Math.abs(largestWindowRms(steady, interval, 10) / expected - 1)).toBeLessThan(remembered ** 2);
    }
  });

  it('the end does not reach the beginning', () => {
    // 1024 samples: a transform that needs no zeros after them.
    const blow = (time: number) => (time > 8 ? Math.sin((Math.PI * (time - 8)) / 0.192) : 0);
    const weighted = weigh(history(8.192, blow));
    const beginning = weighted.subarray(0, samples(3));
    expect(largest(beginning)).toBeLessThan(remembered * largest(weighted));
  });

  it('histories do not reach each other, whatever their number and lengths', () => {
    const three = [history(6, sine(2)), history(9, sine(5)), history(7, sine(1))];
    weightedHistories(three, interval, weightingWk).forEach((together, index) => {
      const alone = weigh(three[index]!);
      expect(together).toHaveLength(alone.length);
      // The longest sets the length of the transform, and with it what of the memory comes round to the beginning.
      for (let k = 0; k < alone.length; k++)
        expect(Math.abs(together[k]! - alone[k]!)).toBeLessThan(remembered * largest(alone));
    });
  });
});

describe('the largest root mean square over a window', () => {
  const burst = (from: number, size: number) => (time: number) =>
    time >= from - interval / 2 && time < from + 5 - interval / 2 ? size * sine(2)(time) : 0;

  it('is that of a burst as long as the window, wherever it stands', () => {
    for (const from of [0, 1.4, 5])
      expect(largestWindowRms(history(10, burst(from, 3)), interval, 5)).toBeCloseTo(3 / Math.SQRT2, 9);
  });

  it('is that of the worst window: what comes before or after does not dilute it', () => {
    const quiet = (time: number) => 0.1 * sine(2)(time);
    const uneven = history(10, (time) => burst(3, 3)(time) || quiet(time));
    const { length } = uneven;
    const squares = Array.from({ length: length - samples(5) + 1 }, (_, first) =>
      uneven.subarray(first, first + samples(5)).reduce((sum, value) => sum + value ** 2, 0),
    );
    const worst = Math.sqrt(Math.max(...squares) / samples(5));
    expect(largestWindowRms(uneven, interval, 5) / worst).toBeCloseTo(1, 12);
    expect(worst).toBeGreaterThan(2 * largestWindowRms(history(10, quiet), interval, 5));
  });

  it('is taken over the whole of a history that is shorter, and is nothing where there is none', () => {
    expect(largestWindowRms(history(2, sine(2)), interval, 5)).toBeCloseTo(Math.SQRT1_2, 9);
    expect(largestWindowRms(new Float64Array(0), interval, 5)).toBe(0);
  });
});
