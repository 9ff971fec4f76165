/**
 * A symmetric matrix of narrow band, lower triangle by rows, whose last few rows may be full: freedoms that are coupled over any
 * distance stand there, and the band of all others stays narrow.
 *
 * Entry (i, j), j <= i, i - j <= halfBandwidth, i < size - border, is `data[i * (halfBandwidth + 1) + j - i + halfBandwidth]`; row i of
 * the border is `full[(i - size + border) * size + j]`.
 */
export class BandedMatrix {
  readonly size: number;
  readonly halfBandwidth: number;
  /** Number of full rows at the end. */
  readonly border: number;
  readonly data: Float64Array;
  readonly full: Float64Array;

  constructor(size: number, halfBandwidth: number, border = 0) {
    this.size = size;
    this.halfBandwidth = halfBandwidth;
    this.border = border;
    this.data = new Float64Array((size - border) * (halfBandwidth + 1));
    this.full = new Float64Array(size * border);
  }

  /** Adds to entry (i, j) and, the matrix being symmetric, (j, i); once when i = j. Indices below 0 are held degrees of freedom: ignored. */
  add(i: number, j: number, value: number): void {
    if (i < 0 || j < 0) return;
    const row = Math.max(i, j);
    const column = Math.min(i, j);
    const beyond = row - this.size + this.border;
    if (beyond >= 0) this.full[beyond * this.size + column]! += value;
    else this.data[row * (this.halfBandwidth + 1) + column - row + this.halfBandwidth]! += value;
  }

  get(i: number, j: number): number {
    const row = Math.max(i, j);
    const column = Math.min(i, j);
    const beyond = row - this.size + this.border;
    if (beyond >= 0) return this.full[beyond * this.size + column]!;
    if (row - column > this.halfBandwidth) return 0;
    return this.data[row * (this.halfBandwidth + 1) + column - row + this.halfBandwidth]!;
  }

  /** y = A x. */
  multiply(x: Float64Array, y: Float64Array): void {
    const { size, border, halfBandwidth, data, full } = this;
    const width = halfBandwidth + 1;
    const inner = size - border;
    for (let i = 0; i < inner; i++) {
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
    for (let i = inner; i < size; i++) {
      const base = (i - inner) * size;
      const xi = x[i]!;
      let sum = full[base + i]! * xi;
      for (let j = 0; j < i; j++) {
        const a = full[base + j]!;
        sum += a * x[j]!;
        y[j]! += a * xi;
      }
      y[i] = sum;
    }
  }

  /** Takes the place of A + factor B, of the same size, band and border. */
  setSum(a: BandedMatrix, b: BandedMatrix, factor: number): void {
    const { data, full } = this;
    for (let k = 0; k < data.length; k++) data[k] = a.data[k]! + factor * b.data[k]!;
    for (let k = 0; k < full.length; k++) full[k] = a.full[k]! + factor * b.full[k]!;
  }
}
