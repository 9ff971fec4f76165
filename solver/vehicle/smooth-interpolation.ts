/**
 * Cubic with continuous slope through samples at equal distances (Catmull and Rom): a kink at every sample would hammer the wheels.
 *
 * @param position sample number, fractions allowed, within the samples
 */
export function smoothlyBetween(samples: Float64Array, position: number): number {
  const index = Math.min(Math.floor(position), samples.length - 2);
  const t = position - index;
  const here = samples[index]!;
  const next = samples[index + 1]!;
  const before = index > 0 ? samples[index - 1]! : here;
  const after = index + 2 < samples.length ? samples[index + 2]! : next;
  const slope = (next - before) / 2;
  const nextSlope = (after - here) / 2;
  const rise = next - here;
  return here + t * (slope + t * (3 * rise - 2 * slope - nextSlope + t * (slope + nextSlope - 2 * rise)));
}
