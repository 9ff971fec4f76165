import { Matrix, SingularValueDecomposition } from 'ml-matrix';
import type { Modes } from './eigen.js';

/** Modes close in frequency, and an orthogonal change to as many coordinates of which each moves a short stretch of the viaduct. */
export interface ModeGroup {
  /** Number of the first mode, and of the first coordinate, of the group. */
  readonly first: number;
  readonly count: number;
  /** count x count, row by row: coordinate i = sum over j of rotation[i count + j] times mode j of the group. */
  readonly rotation: Float64Array;
}

/** Every mode belongs to one group. */
export type LocalCoordinates = readonly ModeGroup[];

/** Fewer modes than this are looked at as they are: the change would cost as much as it saves. */
const fewest = 20;
/** Where frequencies part by more than this share a group ends, or when it has grown to the most. */
const gap = 0.03;
const most = 96;

/**
 * Equal units of a long viaduct, coupled by little but the track, have modes in bunches that spread over all of them, and a bound
 * on a row that adds up modes sees a train everywhere. Within a bunch the modes may be combined at will: here to those that
 * come closest, by the polar factor, to the displacements of as many places chosen by pivoting (the symmetric orthogonalisation of
 * P.-O. Löwdin, Journal of Chemical Physics 18, 1950, which departs least from what it is given).
 *
 * @param places rows of `modalValues` (rows x modes) that are displacements or accelerations of single points
 * @returns null where there are too few modes to gain by it
 */
export function localCoordinates(
  modes: Modes,
  modalValues: Float64Array,
  places: readonly number[],
): LocalCoordinates | null {
  const count = modes.shapes.length;
  if (count < fewest) return null;
  const groups: ModeGroup[] = [];
  const w = modes.angularFrequencies;
  let first = 0;
  for (let end = 1; end <= count; end++) {
    if (end < count && w[end]! <= (1 + gap) * w[end - 1]! && end - first < most) continue;
    const vectors = places.map((row) => modalValues.slice(row * count + first, row * count + end));
    groups.push({ first, count: end - first, rotation: rotationTowards(vectors, end - first) });
    first = end;
  }
  return groups;
}

/** The orthogonal matrix closest to the vectors that a pivoted Gram-Schmidt process picks. */
function rotationTowards(vectors: readonly Float64Array[], count: number): Float64Array {
  const picked = pickIndependent(vectors, count);
  if (picked.length < count) return identity(count);
  const { leftSingularVectors, rightSingularVectors } = new SingularValueDecomposition(
    new Matrix(picked.map((vector) => Array.from(vector))),
  );
  const polar = leftSingularVectors.mmul(rightSingularVectors.transpose());
  return Float64Array.from(polar.to1DArray());
}

/** As many vectors as there are directions, each the one with most left outside the span of those before; fewer where none is left. */
function pickIndependent(vectors: readonly Float64Array[], count: number): readonly Float64Array[] {
  const left = vectors.map((vector) => vector.slice());
  const picked: Float64Array[] = [];
  let largest = 0;
  while (picked.length < count) {
    let best = -1;
    let bestSquare = 1e-12 * largest;
    left.forEach((vector, index) => {
      const square = dot(vector, vector);
      // Places that differ in rounding only: always the first of them.
      if (square <= bestSquare * (1 + 1e-6)) return;
      best = index;
      bestSquare = square;
    });
    if (best < 0) return picked;
    largest = Math.max(largest, bestSquare);
    picked.push(vectors[best]!);
    const direction = left[best]!.map((value) => value / Math.sqrt(bestSquare));
    for (const vector of left) {
      const part = dot(vector, direction);
      for (let k = 0; k < count; k++) vector[k]! -= part * direction[k]!;
    }
  }
  return picked;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k]! * b[k]!;
  return sum;
}

function identity(count: number): Float64Array {
  return Float64Array.from({ length: count * count }, (_, k) => (k % (count + 1) === 0 ? 1 : 0));
}

/**
 * What a row has in each coordinate from what it has in each mode; terms in the order of `contract`.
 *
 * @param modal one per mode
 * @param target one per coordinate
 */
export function localValues(groups: LocalCoordinates, modal: Float64Array, target: Float64Array): void {
  for (const { first, count, rotation } of groups) {
    let at = 0;
    for (let i = 0; i < count; i++) {
      let sum = 0;
      let k = first;
      for (; k + 3 < first + count; k += 4, at += 4)
        sum +=
          rotation[at]! * modal[k]! +
          rotation[at + 1]! * modal[k + 1]! +
          (rotation[at + 2]! * modal[k + 2]! + rotation[at + 3]! * modal[k + 3]!);
      for (; k < first + count; k++, at++) sum += rotation[at]! * modal[k]!;
      target[first + i] = sum;
    }
  }
}

/** Bounds on the size of the coordinates from bounds on that of the modes. */
export function localBounds(groups: LocalCoordinates, modal: Float64Array, target: Float64Array): void {
  for (const { first, count, rotation } of groups) {
    for (let i = 0; i < count; i++) {
      let sum = 0;
      for (let j = 0; j < count; j++) sum += Math.abs(rotation[i * count + j]!) * modal[first + j]!;
      target[first + i] = sum;
    }
  }
}
