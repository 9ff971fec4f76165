import { EVD, Matrix } from 'ml-matrix';
import { type KrylovSpace, krylovSpace } from './arithmetic/krylov-space.js';
import type { BandedFactorisation } from './banded-factorisation.js';
import type { NonzeroRows } from './nonzero-rows.js';
import { SeededRandom } from './random.js';

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

/** The eigensolver stopped without all modes it was asked for. */
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
  if (within.length < wanted) throw new EigenvalueConvergenceError(within.length, wanted, steps);
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
  const limit = Math.min(n - locked.length, longestRun);
  let { norm } = orthogonalise(space, space.start(random.numbers(n)));
  if (norm === 0) return { pairs: [], steps: 0 };
  space.scale(1 / norm);
  let nextCheck = Math.min(limit, missing + 12);
  for (let steps = 1; steps <= limit; steps++) {
    space.keep();
    space.solve();
    const made = orthogonalise(space, space.multiply());
    norm = made.norm;
    diagonal.push(made.alongLast);
    const exhausted = norm < 1e-13 * Math.abs(diagonal[0]!) || steps === limit;
    if (exhausted || steps >= nextCheck) {
      const ritz = ritzPairs(diagonal, offDiagonal, exhausted ? 0 : norm, shift, from);
      const found = ritz.converged.filter(({ value }) => value < to).length;
      if (exhausted || found >= missing) {
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
 * Makes the candidate orthogonal to all vectors kept; the mass times it is up to date.
 *
 * @param squared of its length before
 * @returns its length now, and what it had in common with the vector kept last
 */
function orthogonalise(space: KrylovSpace, squared: number): { norm: number; alongLast: number } {
  let length = Math.sqrt(squared);
  let alongLast = 0;
  for (let pass = 0; pass < 3; pass++) {
    const before = length;
    const along = space.project();
    if (pass === 0) alongLast = along;
    length = Math.sqrt(Math.max(0, space.multiply()));
    if (length > enoughLeft * before) break;
  }
  return { norm: length, alongLast };
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
