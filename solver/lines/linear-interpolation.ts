/**
 * Linear between samples at equal distances.
 *
 * @param position sample number, fractions allowed, within the samples
 */
export function linearBetween(samples: Float64Array, position: number): number {
  const index = Math.min(Math.floor(position), samples.length - 2);
  const value = samples[index]!;
  return value + (samples[index + 1]! - value) * (position - index);
}

/** The same, and `beyond` before the first sample and after the last. */
export function linearWithin(samples: Float64Array, position: number, beyond: number): number {
  return position < 0 || position > samples.length - 1 ? beyond : linearBetween(samples, position);
}
