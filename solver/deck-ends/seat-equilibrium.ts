import { Matrix, solve } from 'ml-matrix';
import { type SeatLaw, type SeatState, seatEnergy, seatForce, seatSlope, seatState } from './seat-law.js';

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
const mostHalvings = 40;
/** Share of the largest force, and N below which there is nothing to balance. */
const relativeTolerance = 1e-9;
const smallestTolerance = 1e-6;

/**
 * Equilibrium of seats whose law is nonlinear in a structure that is linear. With e the stretch, a what the linear model says, G the
 * compliance between seats (stretch of one per unit of force pressing the layers of another together) and N the law,
 *
 *     e = a + G g,   g = k e - N(e).
 *
 * Newton's method on the pieces of the law; a step that does not lower the energy is halved. The energy is convex, so that there is one
 * equilibrium whatever the start (S. Boyd and L. Vandenberghe, Convex Optimization (2004), section 9.5 (mem)).
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
    const states = laws.map((law, s) => seatState(law, stretch[s]!));
    const target = newtonTarget(linear, compliance, laws, states);
    const before = energy(laws, compliance, correction, stretch);
    let share = 1;
    for (let halving = 0; ; halving++) {
      const next = correction.map((g, s) => g + share * (target[s]! - g));
      const nextStretch = stretched(linear, compliance, next);
      // Near the end the energy no longer tells two steps apart; a full step is then right.
      const lower = energy(laws, compliance, next, nextStretch) <= before + 1e-12 * Math.abs(before);
      if (lower || halving === mostHalvings) {
        correction = next;
        stretch = nextStretch;
        break;
      }
      share /= 2;
    }
  }
  throw new FasteningConvergenceError(mostIterations, residual, tolerance);
}

/** The correction if every seat stayed on its present piece: (I - D G) g = D a + c with g = D e + c on the piece. */
function newtonTarget(
  linear: Float64Array,
  compliance: Float64Array,
  laws: readonly SeatLaw[],
  states: readonly SeatState[],
): number[] {
  const count = laws.length;
  const left = Matrix.eye(count);
  const right = Matrix.zeros(count, 1);
  laws.forEach((law, s) => {
    const softer = law.stiffness - seatSlope(law, states[s]!);
    const constant = states[s] === 'released' ? law.clampingForce : 0;
    right.set(s, 0, softer * linear[s]! + constant);
    for (let t = 0; t < count; t++) left.set(s, t, left.get(s, t) - softer * compliance[s * count + t]!);
  });
  return solve(left, right).to1DArray();
}

function stretched(linear: Float64Array, compliance: Float64Array, correction: Float64Array): Float64Array {
  const count = linear.length;
  return linear.map((a, s) => {
    let e = a;
    for (let t = 0; t < count; t++) e += compliance[s * count + t]! * correction[t]!;
    return e;
  });
}

/** Potential energy above that of the linear structure, of which the equilibrium is the least. */
function energy(
  laws: readonly SeatLaw[],
  compliance: Float64Array,
  correction: Float64Array,
  stretch: Float64Array,
): number {
  const count = laws.length;
  let sum = 0;
  laws.forEach((law, s) => {
    sum += seatEnergy(law, stretch[s]!) - (law.stiffness * stretch[s]! ** 2) / 2;
    for (let t = 0; t < count; t++) sum += (correction[s]! * compliance[s * count + t]! * correction[t]!) / 2;
  });
  return sum;
}
