import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { carries, standingStiffness } from './bearings.js';
import type { Substructure, Support } from './model.js';

/** A substructure as the deck's supports feel it: matrices over the heads of those that still carry. */
export interface CondensedSubstructure {
  /** Indices of the supports, ascending. */
  readonly supports: readonly number[];
  /** N/m, row by row. */
  readonly stiffness: Float64Array;
  /** kg, row by row; null: none. */
  readonly mass: Float64Array | null;
}

/**
 * Puts the columns on their substructure and condenses on the column heads. The flexibility of the heads is that of the feet plus
 * 1 / k of each column; feet whose column is lost carry nothing and follow. Mass goes to the heads by the same static shapes
 * (R. J. Guyan, AIAA Journal 3(2), 1965 (mem)): right while the substructure's own modes lie well above those of interest.
 *
 * @returns null when no support on it carries
 * @throws Error when the flexibility is not positive definite; validation has seen to it
 */
export function condenseOnHeads(
  substructure: Substructure,
  supports: readonly Support[],
): CondensedSubstructure | null {
  const { flexibility, mass } = substructure;
  const count = substructure.supports.length;
  const points = supports
    .map((support, index) => ({ support, index, foot: substructure.supports.indexOf(support.id) }))
    .filter(({ support, foot }) => foot >= 0 && carries(support));
  if (points.length === 0) return null;
  const heads = new Matrix(points.length, points.length);
  points.forEach((a, i) => {
    points.forEach((b, j) => {
      heads.set(
        i,
        j,
        flexibility[a.foot * count + b.foot]! + (i === j ? 1 / standingStiffness(a.support) : 0),
      );
    });
  });
  const decomposition = new CholeskyDecomposition(heads);
  if (!decomposition.isPositiveDefinite())
    throw new Error('the flexibility of the substructure is not positive definite');
  const stiffness = decomposition.solve(Matrix.eye(points.length));
  const carried = mass === null ? null : massOnHeads(points, flexibility, mass, count, stiffness);
  return {
    supports: points.map(({ index }) => index),
    stiffness: Float64Array.from(stiffness.to1DArray()),
    mass: carried && Float64Array.from(carried.to1DArray()),
  };
}

/** T' M T with T the displacement of every foot per unit displacement of one head, the others held. */
function massOnHeads(
  points: readonly { readonly foot: number }[],
  flexibility: Float64Array,
  mass: Float64Array,
  count: number,
  stiffness: Matrix,
): Matrix {
  const toFeet = new Matrix(count, points.length);
  for (let foot = 0; foot < count; foot++)
    points.forEach((point, j) => {
      toFeet.set(foot, j, flexibility[foot * count + point.foot]!);
    });
  const shapes = toFeet.mmul(stiffness);
  return shapes
    .transpose()
    .mmul(Matrix.from1DArray(count, count, mass))
    .mmul(shapes);
}

/** Displacement of every foot under the given compression on each support, by index of the support; 0 off the substructure. */
export function footDisplacements(
  substructure: Substructure | undefined,
  supports: readonly Support[],
  reactions: Float64Array,
): Float64Array {
  const feet = new Float64Array(supports.length);
  if (!substructure) return feet;
  const count = substructure.supports.length;
  const indices = substructure.supports.map((id) => supports.findIndex((support) => support.id === id));
  indices.forEach((support, i) => {
    indices.forEach((other, j) => {
      feet[support]! += substructure.flexibility[i * count + j]! * reactions[other]!;
    });
  });
  return feet;
}
