import { Matrix, SingularValueDecomposition } from 'ml-matrix';
import type { BlockArithmetic } from './arithmetic/block-arithmetic.js';
import { contract } from './arithmetic/contract.js';
import type { Modes } from './eigen.js';

/** Modes close in frequency, and an orthogonal change to as many coordinates of which each moves a short stretch of the viaduct. */
export interface ModeGroup {
  /** Numbers of the modes, and of the coordinates that replace them. */
  readonly members: Int32Array;
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
    const members = Int32Array.from({ length: end - first }, (_, k) => first + k);
    const vectors = places.map((row) => modalValues.slice(row * count + first, row * count + end));
    groups.push({ members, rotation: rotationTowards(vectors, members.length) });
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
 * The coordinates' histories from those of the modes.
 *
 * @param source modes x width
 * @param target as many coordinates x width
 * @param arithmetic that the histories were allocated with
 */
export function toLocal(
  groups: LocalCoordinates,
  source: Float64Array,
  width: number,
  target: Float64Array,
  arithmetic: Pick<BlockArithmetic, 'contract'> = { contract },
): void {
  for (const { members, rotation } of groups) {
    const { length } = members;
    for (let i = 0; i < length; i++) {
      const at = members[i]! * width;
      const own = target.subarray(at, at + width);
      arithmetic.contract(rotation, i * length, members, length, source, width, own, 0, width);
    }
  }
}

/** Bounds on the size of the coordinates from bounds on that of the modes. */
export function localBounds(groups: LocalCoordinates, modal: Float64Array, target: Float64Array): void {
  for (const { members, rotation } of groups) {
    for (let i = 0; i < members.length; i++) {
      let sum = 0;
      for (let j = 0; j < members.length; j++)
        sum += Math.abs(rotation[i * members.length + j]!) * modal[members[j]!]!;
      target[members[i]!] = sum;
    }
  }
}
