import FFT from 'fft.js';
import { type FrequencyWeighting, weightingAt } from './frequency-weighting.js';

/**
 * Histories weighted in the frequency domain by the analytic transfer function. Zeros after the end, for the longest time that
 * the slowest band limit remembers, keep the end from leaking into the beginning.
 *
 * @param interval s between samples
 */
export function weightedHistories(
  histories: readonly Float64Array[],
  interval: number,
  weighting: FrequencyWeighting,
): Float64Array[] {
  const longest = histories.reduce((most, history) => Math.max(most, history.length), 0);
  const size = 2 ** Math.max(2, Math.ceil(Math.log2(longest + 5 / interval)));
  const transform = new FFT(size);
  const input: number[] = transform.createComplexArray();
  const spectrum: number[] = transform.createComplexArray();
  const factors = Array.from({ length: size / 2 + 1 }, (_, k) =>
    weightingAt(weighting, k / (size * interval)),
  );
  const weighted: Float64Array[] = [];
  // A real filter does not mix the two parts of a complex signal: two histories go through at once.
  for (let first = 0; first < histories.length; first += 2) {
    const pair = histories.slice(first, first + 2);
    input.fill(0);
    pair.forEach((history, part) => {
      for (let k = 0; k < history.length; k++) input[2 * k + part] = history[k]!;
    });
    transform.transform(spectrum, input);
    for (let k = 0; k < size; k++) {
      const { real, imaginary } = factors[Math.min(k, size - k)]!;
      const turned = k <= size / 2 ? imaginary : -imaginary;
      const a = spectrum[2 * k]!;
      const b = spectrum[2 * k + 1]!;
      spectrum[2 * k] = a * real - b * turned;
      spectrum[2 * k + 1] = a * turned + b * real;
    }
    transform.inverseTransform(input, spectrum);
    pair.forEach((history, part) => {
      weighted.push(Float64Array.from(history, (_, k) => input[2 * k + part]!));
    });
  }
  return weighted;
}

/**
 * Largest root mean square over any window of the given length; a history shorter than that is one window, which errs to the
 * uncomfortable side. 0 for an empty history.
 */
export function largestWindowRms(history: Float64Array, interval: number, window: number): number {
  const width = Math.min(history.length, Math.max(1, Math.round(window / interval)));
  if (width === 0) return 0;
  let sum = 0;
  let most = 0;
  for (let k = 0; k < history.length; k++) {
    sum += history[k]! ** 2;
    if (k >= width) sum -= history[k - width]! ** 2;
    if (k >= width - 1 && sum > most) most = sum;
  }
  return Math.sqrt(most / width);
}
