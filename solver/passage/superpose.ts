import { type TapArithmetic, tapArithmetic, tapPadding } from '../arithmetic/tap-arithmetic.js';
import { cubicWeights } from '../lines/cubic-interpolation.js';

/** Axles over an influence. */
export interface Superposition {
  /** f at whole steps; taken as zero outside [from, to). */
  readonly samples: Float64Array;
  /** Absent: the first of the samples. */
  readonly from?: number;
  /** Absent: beyond the last. */
  readonly to?: number;
  /** Each axle's distance behind the head in steps, at least 0. */
  readonly shifts: Float64Array;
  readonly loads: Float64Array;
  readonly interpolation: 'linear' | 'cubic';
  /** For tests: the fastest of this runtime unless given. */
  readonly taps?: TapArithmetic;
}

/**
 * Sums what every axle of a train does, as a function of the head's position: `values[k - first]` becomes the sum over axles
 * of P f(k - shift), f known at samples. Between samples f is taken linear, or cubic through four of them.
 *
 * @param first head position of the first value
 */
export function superposeAxles(superposition: Superposition, values: Float64Array, first = 0): void {
  const { samples, shifts, loads, interpolation } = superposition;
  const { from = 0, to = samples.length, taps = tapArithmetic() } = superposition;
  const length = to - from;
  const weights = new Float64Array(4);
  taps.begin(values, samples, from, to);
  for (let axle = 0; axle < shifts.length; axle++) {
    const whole = Math.floor(shifts[axle]!);
    const fraction = shifts[axle]! - whole;
    const load = loads[axle]!;
    const linear = interpolation === 'linear';
    const start = whole + from - first - (linear ? 0 : 1);
    const begin = Math.max(0, -start);
    const count = Math.min(linear ? length + 1 : length + 3, values.length - start) - begin;
    if (linear) {
      taps.addTwoTaps(start + begin, begin + tapPadding - 1, count, load * fraction, load * (1 - fraction));
    } else {
      cubicWeights(1 - fraction, weights, 0);
      const [a, b, c, d] = [load * weights[0]!, load * weights[1]!, load * weights[2]!, load * weights[3]!];
      taps.addFourTaps(start + begin, begin + tapPadding - 3, count, a, b, c, d);
    }
  }
  taps.end(values);
}
