import type { BandedMatrix } from './banded-matrix.js';

/** A pivot vanished: the matrix is singular to working precision at this degree of freedom. */
export class SingularMatrixError extends Error {
  readonly degreeOfFreedom: number;
  /** A motion that the matrix does not resist, 1 at the degree of freedom and 0 beyond it. */
  readonly nullVector: Float64Array;
  constructor(degreeOfFreedom: number, nullVector: Float64Array) {
    super(`matrix is singular at degree of freedom ${degreeOfFreedom}`);
    this.name = 'SingularMatrixError';
    this.degreeOfFreedom = degreeOfFreedom;
    this.nullVector = nullVector;
  }
}

/**
 * L D L^T of a symmetric banded matrix without pivoting (Golub and Van Loan, Matrix Computations, section 4.3).
 *
 * By Sylvester's law of inertia `negativePivots` of K - s M counts the eigenvalues below s.
 */
export class BandedFactorisation {
  readonly size: number;
  readonly halfBandwidth: number;
  /** Unit lower triangle by rows, the pivots on the diagonal. */
  readonly factor: Float64Array;
  readonly negativePivots: number;

  /**
   * @param singularBelow a pivot smaller than this share of the diagonal entry it came from counts as zero
   * @throws SingularMatrixError
   */
  constructor(matrix: BandedMatrix, singularBelow = 1e-15) {
    const { size, halfBandwidth } = matrix;
    const factor = Float64Array.from(matrix.data);
    const width = halfBandwidth + 1;
    let negative = 0;
    for (let i = 0; i < size; i++) {
      const rowI = i * width + halfBandwidth - i;
      const firstI = i > halfBandwidth ? i - halfBandwidth : 0;
      const original = Math.abs(factor[rowI + i]!);
      for (let j = firstI; j < i; j++) {
        const rowJ = j * width + halfBandwidth - j;
        const firstJ = j > halfBandwidth ? j - halfBandwidth : 0;
        let sum = factor[rowI + j]!;
        for (let k = Math.max(firstJ, firstI); k < j; k++) sum -= factor[rowI + k]! * factor[rowJ + k]!;
        factor[rowI + j] = sum;
      }
      let pivot = factor[rowI + i]!;
      for (let k = firstI; k < i; k++) {
        const scaled = factor[rowI + k]!;
        const entry = scaled / factor[k * width + halfBandwidth]!;
        factor[rowI + k] = entry;
        pivot -= entry * scaled;
      }
      if (!(Math.abs(pivot) > singularBelow * original))
        throw new SingularMatrixError(i, nullVector(factor, halfBandwidth, size, i));
      if (pivot < 0) negative++;
      factor[rowI + i] = pivot;
    }
    this.size = size;
    this.halfBandwidth = halfBandwidth;
    this.factor = factor;
    this.negativePivots = negative;
  }

  /** Solves A x = b in place. */
  solve(b: Float64Array): void {
    const { size, halfBandwidth, factor } = this;
    const width = halfBandwidth + 1;
    for (let i = 0; i < size; i++) {
      const row = i * width + halfBandwidth - i;
      let sum = b[i]!;
      for (let k = i > halfBandwidth ? i - halfBandwidth : 0; k < i; k++) sum -= factor[row + k]! * b[k]!;
      b[i] = sum;
    }
    for (let i = 0; i < size; i++) b[i]! /= factor[i * width + halfBandwidth]!;
    for (let i = size - 1; i >= 0; i--) {
      const row = i * width + halfBandwidth - i;
      const value = b[i]!;
      if (value === 0) continue;
      for (let k = i > halfBandwidth ? i - halfBandwidth : 0; k < i; k++) b[k]! -= factor[row + k]! * value;
    }
  }
}

function nullVector(factor: Float64Array, halfBandwidth: number, size: number, at: number): Float64Array {
  const vector = new Float64Array(size);
  vector[at] = 1;
  for (let i = at; i >= 0; i--) {
    const row = i * (halfBandwidth + 1) + halfBandwidth - i;
    for (let k = i > halfBandwidth ? i - halfBandwidth : 0; k < i; k++)
      vector[k]! -= factor[row + k]! * vector[i]!;
  }
  return vector;
}
