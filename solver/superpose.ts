import { cubicWeights } from './cubic-interpolation.js';

/**
 * Sums what every axle of a train does, as a function of the head's position: `values[k - first]` becomes the sum over axles
 * of P f(k - shift), f known at samples. Between samples f is taken linear, or cubic through four of them.
 *
 * @param samples f at whole steps; taken as zero outside [from, to)
 * @param shifts each axle's distance behind the head in steps, at least 0
 */
export function superposeAxles(
  samples: Float64Array,
  from: number,
  to: number,
  shifts: Float64Array,
  loads: Float64Array,
  values: Float64Array,
  first: number,
  interpolation: 'linear' | 'cubic',
): void {
  const length = to - from;
  const padded = new Float64Array(length + 6);
  padded.set(samples.subarray(from, to), 3);
  const weights = new Float64Array(4);
  for (let axle = 0; axle < shifts.length; axle++) {
    const whole = Math.floor(shifts[axle]!);
    const fraction = shifts[axle]! - whole;
    const load = loads[axle]!;
    const start = whole + from - first;
    if (interpolation === 'linear') {
      addTwoTaps(values, start, padded, 2, length + 1, load * fraction, load * (1 - fraction));
    } else {
      cubicWeights(1 - fraction, weights, 0);
      addFourTaps(values, start - 1, padded, length + 3, weights, load);
    }
  }
}

/** values[start + i] += a source[offset + i] + b source[offset + i + 1]. */
function addTwoTaps(
  values: Float64Array,
  start: number,
  source: Float64Array,
  offset: number,
  count: number,
  a: number,
  b: number,
): void {
  const from = Math.max(0, -start);
  const to = Math.min(count, values.length - start);
  let before = source[offset + from]!;
  for (let i = from; i < to; i++) {
    const here = source[offset + i + 1]!;
    values[start + i]! += a * before + b * here;
    before = here;
  }
}

/** values[start + i] += load times the four samples from source[i] on, weighted. */
function addFourTaps(
  values: Float64Array,
  start: number,
  source: Float64Array,
  count: number,
  weights: Float64Array,
  load: number,
): void {
  const [a, b, c, d] = [load * weights[0]!, load * weights[1]!, load * weights[2]!, load * weights[3]!];
  const from = Math.max(0, -start);
  const to = Math.min(count, values.length - start);
  for (let i = from; i < to; i++) {
    values[start + i]! += a * source[i]! + b * source[i + 1]! + (c * source[i + 2]! + d * source[i + 3]!);
  }
}
