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
 * L D L^T of a symmetric banded matrix without pivoting (Golub and Van Loan, Matrix Computations, section 4.3). The rows of a border
 * are full in L as well; they come last, so that they fill in nothing else and the count of negative pivots stays that of the whole matrix.
 *
 * By Sylvester's law of inertia `negativePivots` of K - s M counts the eigenvalues below s.
 */
export class BandedFactorisation {
  readonly size: number;
  readonly halfBandwidth: number;
  /** Number of full rows at the end. */
  readonly border: number;
  /** Unit lower triangle by rows without the border, the pivots on the diagonal. */
  readonly factor: Float64Array;
  /** Rows of the border, as in BandedMatrix, the pivots on the diagonal. */
  readonly fullFactor: Float64Array;
  readonly negativePivots: number;

  /**
   * @param singularBelow a pivot smaller than this share of the diagonal entry it came from counts as zero
   * @param overwrites the factors take the matrix's own place, and the matrix is lost
   * @throws SingularMatrixError
   */
  constructor(matrix: BandedMatrix, singularBelow = 1e-15, overwrites = false) {
    const { size, halfBandwidth, border } = matrix;
    const factor = overwrites ? matrix.data : matrix.data.slice();
    const width = halfBandwidth + 1;
    const inner = size - border;
    this.size = size;
    this.halfBandwidth = halfBandwidth;
    this.border = border;
    this.factor = factor;
    this.fullFactor = overwrites ? matrix.full : matrix.full.slice();
    let negative = 0;
    for (let i = 0; i < inner; i++) {
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
      if (!(Math.abs(pivot) > singularBelow * original)) throw new SingularMatrixError(i, this.nullVector(i));
      if (pivot < 0) negative++;
      factor[rowI + i] = pivot;
    }
    for (let i = inner; i < size; i++) if (this.factorBorderRow(i, singularBelow) < 0) negative++;
    this.negativePivots = negative;
  }

  /** Solves A x = b in place. */
  solve(b: Float64Array): void {
    const { size, halfBandwidth, border, factor, fullFactor } = this;
    const width = halfBandwidth + 1;
    const inner = size - border;
    for (let i = 0; i < inner; i++) {
      const row = i * width + halfBandwidth - i;
      let sum = b[i]!;
      for (let k = i > halfBandwidth ? i - halfBandwidth : 0; k < i; k++) sum -= factor[row + k]! * b[k]!;
      b[i] = sum;
    }
    for (let i = inner; i < size; i++) {
      const row = (i - inner) * size;
      let sum = b[i]!;
      for (let k = 0; k < i; k++) sum -= fullFactor[row + k]! * b[k]!;
      b[i] = sum;
    }
    for (let i = 0; i < inner; i++) b[i]! /= factor[i * width + halfBandwidth]!;
    for (let i = inner; i < size; i++) b[i]! /= fullFactor[(i - inner) * size + i]!;
    this.backSubstitute(b, size - 1);
  }

  /**
   * Solves A x = b in place for b that is 0 outside its rows `first` to `last`, and only as far as x is not negligible: a solution
   * that has stayed below `negligible` times its peak for two half-bandwidths is taken to be 0 from there on. A matrix with a border
   * is solved throughout.
   *
   * @returns first and last row of x that are not 0
   */
  solveLocally(
    b: Float64Array,
    first: number,
    last: number,
    negligible: number,
  ): { readonly first: number; readonly last: number } {
    const { size, halfBandwidth, border, factor } = this;
    if (border > 0) {
      this.solve(b);
      return { first: 0, last: size - 1 };
    }
    const width = halfBandwidth + 1;
    let peak = 0;
    let quiet = 0;
    let end = first;
    for (let i = first; i < size && (i <= last || quiet < 2 * halfBandwidth); i++) {
      const row = i * width + halfBandwidth - i;
      let sum = b[i]!;
      for (let k = Math.max(first, i - halfBandwidth); k < i; k++) sum -= factor[row + k]! * b[k]!;
      b[i] = sum;
      end = i;
      peak = Math.max(peak, Math.abs(sum));
      // Forces of stiff elements that cancel may stand here far above what x comes to.
      quiet = Math.abs(sum) <= negligible * negligible * peak ? quiet + 1 : 0;
    }
    for (let i = first; i <= end; i++) b[i]! /= factor[i * width + halfBandwidth]!;
    peak = 0;
    quiet = 0;
    let start = end;
    for (let i = end; i >= 0 && (i >= first || quiet < 2 * halfBandwidth); i--) {
      const row = i * width + halfBandwidth - i;
      const value = b[i]!;
      for (let k = Math.max(0, i - halfBandwidth); k < i; k++) b[k]! -= factor[row + k]! * value;
      start = i;
      peak = Math.max(peak, Math.abs(value));
      quiet = Math.abs(value) <= negligible * peak ? quiet + 1 : 0;
    }
    b.fill(0, Math.max(0, start - halfBandwidth), start);
    return { first: start, last: end };
  }

  /** Solves L^T x = b in place from row `from` upwards; b is zero beyond it. */
  private backSubstitute(b: Float64Array, from: number): void {
    const { size, halfBandwidth, border, factor, fullFactor } = this;
    const width = halfBandwidth + 1;
    const inner = size - border;
    for (let i = from; i >= inner; i--) {
      const row = (i - inner) * size;
      const value = b[i]!;
      for (let k = 0; k < i; k++) b[k]! -= fullFactor[row + k]! * value;
    }
    for (let i = Math.min(from, inner - 1); i >= 0; i--) {
      const row = i * width + halfBandwidth - i;
      const value = b[i]!;
      if (value === 0) continue;
      for (let k = i > halfBandwidth ? i - halfBandwidth : 0; k < i; k++) b[k]! -= factor[row + k]! * value;
    }
  }

  /** Row i of L and its pivot, which is returned. */
  private factorBorderRow(i: number, singularBelow: number): number {
    const { size, halfBandwidth, border, factor, fullFactor } = this;
    const width = halfBandwidth + 1;
    const inner = size - border;
    const row = (i - inner) * size;
    const original = Math.abs(fullFactor[row + i]!);
    for (let j = 0; j < i; j++) {
      const inBand = j < inner;
      const rowJ = inBand ? j * width + halfBandwidth - j : (j - inner) * size;
      const other = inBand ? factor : fullFactor;
      let sum = fullFactor[row + j]!;
      for (let k = inBand && j > halfBandwidth ? j - halfBandwidth : 0; k < j; k++)
        sum -= fullFactor[row + k]! * other[rowJ + k]!;
      fullFactor[row + j] = sum;
    }
    let pivot = fullFactor[row + i]!;
    for (let k = 0; k < i; k++) {
      const scaled = fullFactor[row + k]!;
      const entry =
        scaled / (k < inner ? factor[k * width + halfBandwidth]! : fullFactor[(k - inner) * size + k]!);
      fullFactor[row + k] = entry;
      pivot -= entry * scaled;
    }
    if (!(Math.abs(pivot) > singularBelow * original)) throw new SingularMatrixError(i, this.nullVector(i));
    fullFactor[row + i] = pivot;
    return pivot;
  }

  private nullVector(at: number): Float64Array {
    const vector = new Float64Array(this.size);
    vector[at] = 1;
    this.backSubstitute(vector, at);
    return vector;
  }
}
