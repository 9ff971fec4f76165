import { EVD, Matrix } from 'ml-matrix';
import { type KrylovSpace, krylovSpace } from '../arithmetic/krylov-space.js';
import { SeededRandom } from '../arithmetic/random.js';
import type { BandedFactorisation } from '../matrices/banded-factorisation.js';
import type { NonzeroRows } from '../matrices/nonzero-rows.js';

export interface Eigenpair {
  readonly value: number;
  /** Mass-orthonormal to all others. */
  readonly vector: Float64Array;
}

export interface Eigenpairs {
  /** In the interval, ascending. */
  readonly within: readonly Eigenpair[];
  /** Found by the way, above the interval. */
  readonly above: readonly Eigenpair[];
}

/** Part of the spectrum that is worked through at a time. */
export interface SpectrumInterval {
  readonly from: number;
  /** Not in it. */
  readonly to: number;
  /** Where K - shift M was factored. */
  readonly shift: number;
  /** Number of eigenvalues in it, from Sturm counts. */
  readonly wanted: number;
}

/** The eigensolver stopped without all modes it was asked for, or holds more than there are. */
export class EigenvalueConvergenceError extends Error {
  constructor(found: number, wanted: number, steps: number) {
    super(
      `found ${found} of ${wanted} modes after ${steps} Lanczos steps; refine the shift or raise the step limit`,
    );
    this.name = 'EigenvalueConvergenceError';
  }
}

const residualTolerance = 1e-10;
/** Once is enough unless less of a vector is left than a tenth (H. Rutishauser's bound; Parlett, section 6.9: "twice is enough" (mem)). */
const enoughLeft = 0.1;
/** What a sum over all degrees of freedom leaves in a vector of another one of unit length. */
const rounding = 1e-15;
/** A vector that may have more than this in common with the others is projected again, whatever is left of it. */
const mostInCommon = 1e-11;
/** Vectors of one run; what is locked comes on top of them. */
const longestRun = 320;

/**
 * All eigenvalues of K v = lambda M v in an interval, by shift-invert Lanczos with full reorthogonalisation
 * (B. N. Parlett, The Symmetric Eigenvalue Problem, chapters 13 and 15; T. Ericsson and A. Ruhe, Mathematics of
 * Computation 35, 1980). Found vectors are locked and the iteration is started again beside them, so that
 * repeated eigenvalues are found as often as they occur.
 *
 * @param factorisation of K - shift M
 * @param known eigenpairs found before: those in the interval are taken, those beside it need not be found once more
 * @throws EigenvalueConvergenceError
 */
export function lanczosInInterval(
  factorisation: BandedFactorisation,
  mass: NonzeroRows,
  interval: SpectrumInterval,
  known: readonly Eigenpair[] = [],
): Eigenpairs {
  const { from, to, wanted } = interval;
  const isWithin = ({ value }: Eigenpair) => value >= from && value < to;
  const within = known.filter(isWithin);
  const above: Eigenpair[] = [];
  const random = new SeededRandom(20261125);
  let steps = 0;
  const beside = known.filter((pair) => !isWithin(pair));
  for (let run = 0; run < wanted + 3 && within.length < wanted; run++) {
    const missing = wanted - within.length;
    const locked = [...beside, ...within, ...above].map(({ vector }) => vector);
    const found = runLanczos(factorisation, mass, { ...interval, wanted: missing }, locked, random);
    steps += found.steps;
    within.push(...found.pairs.filter(isWithin).slice(0, missing));
    above.push(...found.pairs.filter(({ value }) => value >= to));
  }
  if (within.length !== wanted) throw new EigenvalueConvergenceError(within.length, wanted, steps);
  within.sort((a, b) => a.value - b.value);
  return { within, above };
}

function runLanczos(
  factorisation: BandedFactorisation,
  mass: NonzeroRows,
  { shift, from, to, wanted: missing }: SpectrumInterval,
  locked: readonly Float64Array[],
  random: SeededRandom,
): { readonly pairs: readonly Eigenpair[]; readonly steps: number } {
  const n = mass.size;
  const space = krylovSpace(factorisation, mass);
  for (const known of locked) space.push(known);
  const diagonal: number[] = [];
  const offDiagonal: number[] = [];
  const whole = n - locked.length;
  const limit = Math.min(whole, longestRun);
  let { norm, common } = orthogonalise(space, space.start(random.numbers(n)), rounding, 0);
  let commonBefore = 0;
  if (norm === 0) return { pairs: [], steps: 0 };
  space.scale(1 / norm);
  let nextCheck = Math.min(limit, missing + 12);
  for (let steps = 1; steps <= limit; steps++) {
    space.keep();
    space.solve();
    const made = orthogonalise(space, space.multiply(), common, norm * commonBefore);
    commonBefore = common;
    ({ norm, common } = made);
    diagonal.push(made.alongLast);
    const exhausted = norm < 1e-13 * Math.abs(diagonal[0]!) || steps === whole;
    if (exhausted || steps >= nextCheck) {
      const ritz = ritzPairs(diagonal, offDiagonal, exhausted ? 0 : norm, shift, from);
      const found = ritz.converged.filter(({ value }) => value < to).length;
      if (exhausted || steps === limit || found >= missing) {
        const weights = ritz.converged.map(({ column }) => Float64Array.from(ritz.vectors.getColumn(column)));
        const vectors = space.combine(locked.length, weights);
        const pairs = ritz.converged.map(({ value }, index) => ({ value, vector: vectors[index]! }));
        return { pairs, steps };
      }
      nextCheck = Math.min(limit, steps + Math.max(8, missing >> 2));
    }
    offDiagonal.push(norm);
    space.scale(1 / norm);
  }
  return { pairs: [], steps: limit };
}

/**
 * Makes the candidate orthogonal to all vectors kept; the mass times it is up to date. Taking a kept vector out of the candidate
 * brings in what that one has in common with the others, larger by as much as the candidate has become shorter: with eigenvalues in a
 * bunch far from the shift that is threefold at each step, so that it is followed by the recurrence of the iteration itself
 * (H. D. Simon, Mathematics of Computation 42, 1984 (mem)).
 *
 * @param squared of its length before
 * @param common what the vector kept last may have in common with the others
 * @param commonBefore the same of the one before it, times the factor by which the iteration takes that one out
 * @returns its length now, what it had in common with the vector kept last, and what it may have in common with any now
 */
function orthogonalise(
  space: KrylovSpace,
  squared: number,
  common: number,
  commonBefore: number,
): { norm: number; alongLast: number; common: number } {
  const first = Math.sqrt(squared);
  const alongLast = space.project();
  let length = Math.sqrt(Math.max(0, space.multiply()));
  const brought = (Math.abs(alongLast) * common + commonBefore + first * rounding) / length;
  if (length > enoughLeft * first && brought <= mostInCommon)
    return { norm: length, alongLast, common: brought };
  let before = first;
  for (let pass = 1; pass < 3; pass++) {
    before = length;
    space.project();
    length = Math.sqrt(Math.max(0, space.multiply()));
    if (length > enoughLeft * before) break;
  }
  return { norm: length, alongLast, common: (before * rounding) / length };
}

function ritzPairs(
  diagonal: readonly number[],
  offDiagonal: readonly number[],
  norm: number,
  shift: number,
  from: number,
) {
  const size = diagonal.length;
  const reduced = Matrix.zeros(size, size);
  for (let i = 0; i < size; i++) {
    reduced.set(i, i, diagonal[i]!);
    if (i + 1 < size) {
      reduced.set(i, i + 1, offDiagonal[i]!);
      reduced.set(i + 1, i, offDiagonal[i]!);
    }
  }
  const decomposition = new EVD(reduced, { assumeSymmetric: true });
  const vectors = decomposition.eigenvectorMatrix;
  const converged: { value: number; column: number }[] = [];
  decomposition.realEigenvalues.forEach((inverse, column) => {
    if (inverse === 0) return;
    const value = shift + 1 / inverse;
    const error = Math.abs(norm * vectors.get(size - 1, column));
    if (value >= from && error <= residualTolerance * Math.abs(inverse)) converged.push({ value, column });
  });
  return { vectors, converged };
}
