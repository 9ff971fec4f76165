import { EVD, Matrix } from 'ml-matrix';
import type { BandedFactorisation } from './banded-factorisation.js';
import type { NonzeroRows } from './nonzero-rows.js';
import { seededRandom } from './random.js';

export interface Eigenpairs {
  readonly values: number[];
  /** Mass-orthonormal, in the order of the values. */
  readonly vectors: Float64Array[];
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
const longestRun = 320;

/**
 * All `wanted` eigenvalues of K v = lambda M v in [from, to), by shift-invert Lanczos with full reorthogonalisation
 * (B. N. Parlett, The Symmetric Eigenvalue Problem, chapters 13 and 15; T. Ericsson and A. Ruhe, Mathematics of
 * Computation 35, 1980). Found vectors are locked and the iteration is started again beside them, so that
 * repeated eigenvalues are found as often as they occur.
 *
 * @param factorisation of K - shift M
 * @param wanted number of eigenvalues in the interval, from Sturm counts
 * @throws EigenvalueConvergenceError
 */
export function lanczosInInterval(
  factorisation: BandedFactorisation,
  mass: NonzeroRows,
  shift: number,
  from: number,
  to: number,
  wanted: number,
): Eigenpairs {
  const locked: { value: number; vector: Float64Array; massVector: Float64Array }[] = [];
  const random = seededRandom(20261125);
  let steps = 0;
  for (let run = 0; run < wanted + 3 && locked.length < wanted; run++) {
    const missing = wanted - locked.length;
    const found = runLanczos(factorisation, mass, shift, from, to, missing, locked, random);
    steps += found.steps;
    for (let i = 0; i < found.values.length && locked.length < wanted; i++) {
      const massVector = new Float64Array(mass.size);
      mass.multiply(found.vectors[i]!, massVector);
      locked.push({ value: found.values[i]!, vector: found.vectors[i]!, massVector });
    }
  }
  if (locked.length < wanted) throw new EigenvalueConvergenceError(locked.length, wanted, steps);
  locked.sort((a, b) => a.value - b.value);
  return { values: locked.map(({ value }) => value), vectors: locked.map(({ vector }) => vector) };
}

function runLanczos(
  factorisation: BandedFactorisation,
  mass: NonzeroRows,
  shift: number,
  from: number,
  to: number,
  missing: number,
  locked: readonly { vector: Float64Array; massVector: Float64Array }[],
  random: () => number,
): Eigenpairs & { steps: number } {
  const n = mass.size;
  const basis: Float64Array[] = [];
  const diagonal: number[] = [];
  const offDiagonal: number[] = [];
  const limit = Math.min(n - locked.length, longestRun);
  let vector: Float64Array = new Float64Array(n);
  const massVector = new Float64Array(n);
  const next = new Float64Array(n);
  for (let i = 0; i < n; i++) vector[i] = random();

  const lockedVectors = locked.map(({ vector }) => vector);

  /** Takes `massVector` as the mass times the candidate. */
  const orthogonalise = (candidate: Float64Array): number => {
    let length = Math.sqrt(dot(candidate, massVector));
    // Once is enough unless most of the vector went away (Parlett, section 6.9: "twice is enough").
    for (let pass = 0; pass < 3; pass++) {
      const before = length;
      subtractProjections(candidate, massVector, lockedVectors);
      subtractProjections(candidate, massVector, basis);
      mass.multiply(candidate, massVector);
      length = Math.sqrt(Math.max(0, dot(candidate, massVector)));
      if (length > 0.5 * before) break;
    }
    return length;
  };

  mass.multiply(vector, massVector);
  let norm = orthogonalise(vector);
  if (norm === 0) return { values: [], vectors: [], steps: 0 };
  scale(vector, 1 / norm);
  let nextCheck = Math.min(limit, missing + 12);
  while (basis.length < limit) {
    basis.push(vector);
    mass.multiply(vector, next);
    factorisation.solve(next);
    mass.multiply(next, massVector);
    diagonal.push(dot(vector, massVector));
    norm = orthogonalise(next);
    const exhausted = norm < 1e-13 * Math.abs(diagonal[0]!) || basis.length === limit;
    if (exhausted || basis.length >= nextCheck) {
      const ritz = ritzPairs(diagonal, offDiagonal, exhausted ? 0 : norm, shift, from, to);
      if (exhausted || ritz.converged.length >= missing) {
        const used = ritz.converged;
        return {
          values: used.map(({ value }) => value),
          vectors: used.map(({ column }) => combine(basis, ritz.vectors, column)),
          steps: basis.length,
        };
      }
      nextCheck = Math.min(limit, basis.length + Math.max(8, missing >> 2));
    }
    offDiagonal.push(norm);
    vector = Float64Array.from(next);
    scale(vector, 1 / norm);
  }
  return { values: [], vectors: [], steps: basis.length };
}

function ritzPairs(
  diagonal: readonly number[],
  offDiagonal: readonly number[],
  norm: number,
  shift: number,
  from: number,
  to: number,
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
    if (value >= from && value < to && error <= residualTolerance * Math.abs(inverse))
      converged.push({ value, column });
  });
  return { vectors, converged };
}

function combine(basis: readonly Float64Array[], coefficients: Matrix, column: number): Float64Array {
  const sum = new Float64Array(basis[0]!.length);
  basis.forEach((vector, row) => {
    addScaled(sum, vector, coefficients.get(row, column));
  });
  return sum;
}

/** Takes out of the candidate what each of the others has in common with it; four at a time, which reads the candidate a quarter as often. */
function subtractProjections(
  candidate: Float64Array,
  massCandidate: Float64Array,
  others: readonly Float64Array[],
): void {
  let k = 0;
  for (; k + 3 < others.length; k += 4)
    subtractFour(candidate, massCandidate, others[k]!, others[k + 1]!, others[k + 2]!, others[k + 3]!);
  for (; k < others.length; k++) addScaled(candidate, others[k]!, -dot(massCandidate, others[k]!));
}

function subtractFour(
  candidate: Float64Array,
  massCandidate: Float64Array,
  a: Float64Array,
  b: Float64Array,
  c: Float64Array,
  d: Float64Array,
): void {
  let alongA = 0;
  let alongB = 0;
  let alongC = 0;
  let alongD = 0;
  for (let i = 0; i < candidate.length; i++) {
    const value = massCandidate[i]!;
    alongA += value * a[i]!;
    alongB += value * b[i]!;
    alongC += value * c[i]!;
    alongD += value * d[i]!;
  }
  for (let i = 0; i < candidate.length; i++)
    candidate[i] = candidate[i]! - alongA * a[i]! - alongB * b[i]! - alongC * c[i]! - alongD * d[i]!;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}

function addScaled(target: Float64Array, source: Float64Array, factor: number): void {
  for (let i = 0; i < target.length; i++) target[i]! += factor * source[i]!;
}

function scale(vector: Float64Array, factor: number): void {
  for (let i = 0; i < vector.length; i++) vector[i]! *= factor;
}
