import { seededRandom } from '../../../solver/arithmetic/random.js';
import { BandedMatrix } from '../../../solver/matrices/banded-matrix.js';

/**
 * A symmetric banded matrix of random entries with `diagonal` added on its diagonal; large values make it positive definite.
 * The last `border` rows are full.
 */
export function randomBanded(
  size: number,
  halfBandwidth: number,
  diagonal: number,
  seed: number,
  border = 0,
): BandedMatrix {
  const random = seededRandom(seed);
  const matrix = new BandedMatrix(size, halfBandwidth, border);
  for (let i = 0; i < size; i++) {
    const from = i < size - border ? Math.max(0, i - halfBandwidth) : 0;
    for (let j = from; j < i; j++) matrix.add(i, j, random());
    matrix.add(i, i, diagonal + random());
  }
  return matrix;
}

export function randomVector(size: number, seed: number): Float64Array {
  const random = seededRandom(seed);
  return Float64Array.from({ length: size }, random);
}

/** Every entry, row by row. */
export function denseOf(matrix: BandedMatrix): number[][] {
  return Array.from({ length: matrix.size }, (_, i) =>
    Array.from({ length: matrix.size }, (__, j) => matrix.get(i, j)),
  );
}

/** max |a - b| / max |b| */
export function relativeError(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let difference = 0;
  let size = 0;
  for (let i = 0; i < b.length; i++) {
    difference = Math.max(difference, Math.abs(a[i]! - b[i]!));
    size = Math.max(size, Math.abs(b[i]!));
  }
  return difference / size;
}
