/**
 * A symmetric matrix of narrow band, lower triangle by rows.
 *
 * Entry (i, j), j <= i, i - j <= halfBandwidth, is `data[i * (halfBandwidth + 1) + j - i + halfBandwidth]`.
 */
export class BandedMatrix {
  readonly size: number;
  readonly halfBandwidth: number;
  readonly data: Float64Array;

  constructor(size: number, halfBandwidth: number) {
    this.size = size;
    this.halfBandwidth = halfBandwidth;
    this.data = new Float64Array(size * (halfBandwidth + 1));
  }

  /** Adds to entry (i, j) and, the matrix being symmetric, (j, i); once when i = j. Indices below 0 are held degrees of freedom: ignored. */
  add(i: number, j: number, value: number): void {
    if (i < 0 || j < 0) return;
    const row = Math.max(i, j);
    const column = Math.min(i, j);
    this.data[row * (this.halfBandwidth + 1) + column - row + this.halfBandwidth]! += value;
  }

  get(i: number, j: number): number {
    const row = Math.max(i, j);
    const column = Math.min(i, j);
    if (row - column > this.halfBandwidth) return 0;
    return this.data[row * (this.halfBandwidth + 1) + column - row + this.halfBandwidth]!;
  }

  /** y = A x. */
  multiply(x: Float64Array, y: Float64Array): void {
    const { size, halfBandwidth, data } = this;
    const width = halfBandwidth + 1;
    for (let i = 0; i < size; i++) {
      const from = i > halfBandwidth ? i - halfBandwidth : 0;
      const base = i * width + halfBandwidth - i;
      const xi = x[i]!;
      let sum = data[base + i]! * xi;
      for (let j = from; j < i; j++) {
        const a = data[base + j]!;
        sum += a * x[j]!;
        y[j]! += a * xi;
      }
      y[i] = sum;
    }
  }

  /** A + factor B as a new matrix; both of the same size and band. */
  plus(other: BandedMatrix, factor: number): BandedMatrix {
    const sum = new BandedMatrix(this.size, this.halfBandwidth);
    for (let k = 0; k < this.data.length; k++) sum.data[k] = this.data[k]! + factor * other.data[k]!;
    return sum;
  }
}
