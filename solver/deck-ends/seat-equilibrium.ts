import { Matrix, solve } from 'ml-matrix';
import { type SeatLaw, type SeatState, seatForce, seatSlope, seatState } from './seat-law.js';

/** The fastenings at a deck end did not find their equilibrium within the iterations allowed. */
export class FasteningConvergenceError extends Error {
  readonly iterations: number;
  readonly residual: number;
  readonly tolerance: number;
  constructor(iterations: number, residual: number, tolerance: number) {
    super(
      `the fastenings at a deck end did not settle within ${iterations} iterations (out of balance by ${residual} N, tolerance ${tolerance} N)`,
    );
    this.name = 'FasteningConvergenceError';
    this.iterations = iterations;
    this.residual = residual;
    this.tolerance = tolerance;
  }
}

export interface SeatEquilibrium {
  /** m per seat, compression positive. */
  readonly stretch: Float64Array;
  /** N per seat, compression positive. */
  readonly force: Float64Array;
  /** N per seat: what it presses less than the linear fastening would at this stretch. */
  readonly correction: Float64Array;
  readonly iterations: number;
}

const mostIterations = 100;
const mostHalvings = 60;
/** Share of its stiffness that a free seat keeps in the step, so that what no seat holds any more moves to where one does. */
const leftOfFreeSeat = 1e-6;
/** Share of the largest force, and N below which there is nothing to balance. */
const relativeTolerance = 1e-9;
const smallestTolerance = 1e-6;

/**
 * Equilibrium of seats whose law is nonlinear in a structure that is linear. With e the stretch, a what the linear model says, G the
 * compliance between seats (stretch of one per unit of force pressing the layers of another together) and N the law,
 *
 *     e = a + G g,   g = k e - N(e).
 *
 * Newton's method on the pieces of the law, each step as far as the energy falls along it. The energy is convex, so that there is one
 * equilibrium whatever the start (S. Boyd and L. Vandenberghe, Convex Optimization (2004), section 9.5 (mem)). Its slope along the step
 * is what is looked at: the energy itself, a difference of large numbers, does not tell two steps apart.
 *
 * @param compliance seats x seats, row by row, of the linear structure
 * @param start of the correction; zero unless given
 * @throws FasteningConvergenceError
 */
export function solveSeats(
  linear: Float64Array,
  compliance: Float64Array,
  laws: readonly SeatLaw[],
  start?: Float64Array,
): SeatEquilibrium {
  const count = laws.length;
  let correction = start ? Float64Array.from(start) : new Float64Array(count);
  let stretch = stretched(linear, compliance, correction);
  let residual = 0;
  let tolerance = 0;
  for (let iterations = 0; iterations <= mostIterations; iterations++) {
    residual = 0;
    let scale = 0;
    for (let s = 0; s < count; s++) {
      const linearForce = laws[s]!.stiffness * stretch[s]!;
      const wanted = linearForce - seatForce(laws[s]!, stretch[s]!);
      residual = Math.max(residual, Math.abs(wanted - correction[s]!));
      scale = Math.max(scale, Math.abs(linearForce));
    }
    tolerance = Math.max(relativeTolerance * scale, smallestTolerance);
    if (residual <= tolerance) {
      const force = stretch.map((e, s) => seatForce(laws[s]!, e));
      return { stretch, force, correction, iterations };
    }
    const step = newtonStep(compliance, laws, stretch, correction);
    const stretchStep = stretched(new Float64Array(count), compliance, step);
    const share = fallingShare((t) => energySlope(laws, stretch, correction, stretchStep, step, t));
    correction = correction.map((g, s) => g + share * step[s]!);
    stretch = stretched(linear, compliance, correction);
  }
  throw new FasteningConvergenceError(mostIterations, residual, tolerance);
}

/** To the correction with which every seat would be in equilibrium on its present piece: (I - D G) step = k e - N(e) - g, D being k less its slope. */
function newtonStep(
  compliance: Float64Array,
  laws: readonly SeatLaw[],
  stretch: Float64Array,
  correction: Float64Array,
): Float64Array {
  const count = laws.length;
  const left = Matrix.eye(count);
  const right = Matrix.zeros(count, 1);
  laws.forEach((law, s) => {
    const softer = law.stiffness - slopeInStep(law, seatState(law, stretch[s]!));
    right.set(s, 0, law.stiffness * stretch[s]! - seatForce(law, stretch[s]!) - correction[s]!);
    for (let t = 0; t < count; t++) left.set(s, t, left.get(s, t) - softer * compliance[s * count + t]!);
  });
  return Float64Array.from(solve(left, right).to1DArray());
}

function slopeInStep(law: SeatLaw, state: SeatState): number {
  return state === 'released' ? leftOfFreeSeat * law.stiffness : seatSlope(law, state);
}

/** J, slope of the potential energy at a share of a step: what is out of balance at each seat times the way that the seat goes. */
function energySlope(
  laws: readonly SeatLaw[],
  stretch: Float64Array,
  correction: Float64Array,
  stretchStep: Float64Array,
  step: Float64Array,
  share: number,
): number {
  let sum = 0;
  for (let s = 0; s < laws.length; s++) {
    const law = laws[s]!;
    const e = stretch[s]! + share * stretchStep[s]!;
    const outOfBalance = seatForce(law, e) - law.stiffness * e + correction[s]! + share * step[s]!;
    sum += outOfBalance * stretchStep[s]!;
  }
  return sum;
}

/** The whole step where the energy still falls at its end, else the share up to which it falls. */
function fallingShare(slopeAt: (share: number) => number): number {
  if (slopeAt(1) <= 0) return 1;
  let falls = 0;
  let rises = 1;
  for (let halving = 0; halving < mostHalvings; halving++) {
    const middle = (falls + rises) / 2;
    if (slopeAt(middle) > 0) rises = middle;
    else falls = middle;
  }
  return rises;
}

function stretched(linear: Float64Array, compliance: Float64Array, correction: Float64Array): Float64Array {
  const count = linear.length;
  return linear.map((a, s) => {
    let e = a;
    for (let t = 0; t < count; t++) e += compliance[s * count + t]! * correction[t]!;
    return e;
  });
}
