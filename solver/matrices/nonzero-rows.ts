import type { BandedMatrix } from './banded-matrix.js';

/**
 * The nonzero entries of a symmetric matrix, both triangles row by row: masses couple a node with its two neighbours in the same
 * layer only, a quarter of the band. Products are those of the banded matrix, to the last bit.
 */
export class NonzeroRows {
  readonly size: number;
  /** Row i stands from entry starts[i] up to starts[i + 1]. */
  readonly starts: Int32Array;
  readonly columns: Int32Array;
  readonly values: Float64Array;

  constructor(matrix: BandedMatrix) {
    const { size, halfBandwidth, border } = matrix;
    const inner = size - border;
    const firstColumn = (row: number) => (row < inner ? Math.max(0, row - halfBandwidth) : 0);
    const counts = new Int32Array(size + 1);
    for (let i = 0; i < size; i++) {
      counts[i + 1]!++;
      for (let j = firstColumn(i); j < i; j++) {
        if (matrix.get(i, j) === 0) continue;
        counts[i + 1]!++;
        counts[j + 1]!++;
      }
    }
    for (let i = 0; i < size; i++) counts[i + 1]! += counts[i]!;
    this.size = size;
    this.starts = counts;
    this.columns = new Int32Array(counts[size]!);
    this.values = new Float64Array(counts[size]!);
    const next = Int32Array.from(counts);
    const put = (row: number, column: number, value: number) => {
      this.columns[next[row]!] = column;
      this.values[next[row]!] = value;
      next[row]!++;
    };
    // Diagonal, left of it, right of it: the order in which the banded product adds.
    for (let i = 0; i < size; i++) {
      put(i, i, matrix.get(i, i));
      for (let j = firstColumn(i); j < i; j++) {
        const value = matrix.get(i, j);
        if (value === 0) continue;
        put(i, j, value);
        put(j, i, value);
      }
    }
  }

  /** y = A x. */
  multiply(x: Float64Array, y: Float64Array): void {
    const { size, starts, columns, values } = this;
    let k = 0;
    for (let i = 0; i < size; i++) {
      const end = starts[i + 1]!;
      let sum = 0;
      for (; k < end; k++) sum += values[k]! * x[columns[k]!]!;
      y[i] = sum;
    }
  }
}
