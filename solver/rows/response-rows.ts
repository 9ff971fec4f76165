import { nearestIndex } from '../mesh/grid.js';
import type { LayerSpring, Mesh } from '../mesh/mesh.js';

export type Quantity =
  | 'deck-acceleration'
  | 'slab-acceleration'
  | 'deck-deflection'
  | 'bending'
  | 'shear'
  | 'support-reaction'
  | 'bearing-reaction'
  | 'end-rotation'
  | 'joint-step'
  | 'fastening-force'
  | 'deck-twist'
  | 'slab-bending'
  | 'rail-bending';

/** Accelerations come from the modes alone; every other quantity has a static influence line to lean on. */
export const isAcceleration = (quantity: Quantity): boolean =>
  quantity === 'deck-acceleration' || quantity === 'slab-acceleration';

/** Moments peak under a wheel with a kink, but do not jump. */
export const isMoment = (quantity: Quantity): boolean =>
  quantity === 'bending' || quantity === 'slab-bending' || quantity === 'rail-bending';

/**
 * One scalar response as a linear functional of the displacements: sum of `stiffness[k] u[freedoms[k]]`, plus what a load standing
 * on one of the `direct` elements adds through its consistent nodal forces. The inertia part completes the internal force of a mode.
 */
export interface ResponseRow {
  readonly quantity: Quantity;
  readonly x: number;
  /** Span the point belongs to, by index; -1 off the deck. */
  readonly span: number;
  /** Support index of reactions, rotations and steps; -1 elsewhere. */
  readonly support: number;
  /** Deck end at a joint, or the side of a support a shear belongs to. */
  readonly side: 'left' | 'right' | 'only';
  /** Index of the track a point lies under, where there is one beside the axis. */
  readonly track?: number;
  /** Which of two bearings a reaction stands on. */
  readonly bearing?: 'left' | 'right';
  /** Where the stretch begins that a twist is gained over. */
  readonly start?: number;
  /** Springs of the bedding whose forces are in the row besides elements: m, the row per force of each. */
  readonly pressed?: readonly { readonly spring: LayerSpring; readonly length: number }[];
  readonly freedoms: readonly number[];
  readonly stiffness: readonly number[];
  readonly inertia: readonly number[];
  readonly direct: readonly DirectPart[];
}

/** What a load on a deck element does to a row beyond what it does to the nodes. */
export interface DirectPart {
  readonly element: number;
  /** Index of the track whose rail the element is of; absent: it is the deck's. */
  readonly rail?: number;
  /** Of the load's shape functions: 0 to 3 in bending, 4 and 5 in torsion; or `bubble`. */
  readonly shape: number | 'bubble';
  readonly factor: number;
  /** With `bubble`: distance into the element of the place whose rotation about x, or on a rail whose moment, is wanted. */
  readonly at?: number;
}

const found = new WeakMap<readonly ResponseRow[], Map<Quantity, readonly number[]>>();

/** Indices of the rows of a quantity, ascending; looked for once. */
export function rowsOf(rows: readonly ResponseRow[], quantity: Quantity): readonly number[] {
  const known = found.get(rows) ?? new Map<Quantity, readonly number[]>();
  found.set(rows, known);
  let indices = known.get(quantity);
  if (!indices) {
    const own: number[] = [];
    for (let index = 0; index < rows.length; index++) if (rows[index]!.quantity === quantity) own.push(index);
    indices = own;
    known.set(quantity, indices);
  }
  return indices;
}

/**
 * Where the deck's responses are taken: at every support and joint, at midspan, and in between.
 *
 * @param least parts of a span, which they are no further apart than, where the grid does not ask for more
 */
export function stationIndices(mesh: Mesh, least = 1): Int32Array {
  const { x, supports } = mesh.grid;
  const chosen = new Set<number>();
  for (let span = 0; span + 1 < supports.length; span++) {
    let low = supports[span]!;
    let high = supports[span + 1]!;
    const parts = Math.max(least, mesh.grid.stationParts[span]!);
    const longest = ((x[high]! - x[low]!) / parts) * (1 + 1e-9);
    chosen.add(low).add(high);
    for (const index of middle(x, low, high)) chosen.add(index);
    while (high - low > 1 && x[high]! - x[low]! > longest) {
      let nextLow = low + 1;
      while (nextLow + 1 < high && x[nextLow + 1]! - x[low]! <= longest) nextLow++;
      let nextHigh = high - 1;
      while (nextHigh - 1 > low && x[high]! - x[nextHigh - 1]! <= longest) nextHigh--;
      if (nextLow > nextHigh) {
        // The two walks crossed: one point between them closes the gap, the middle one for symmetry.
        chosen.add(nextLow).add(nextHigh);
        break;
      }
      low = nextLow;
      high = nextHigh;
      chosen.add(low).add(high);
    }
  }
  return Int32Array.from(chosen).sort();
}

/** The node at midspan, or the two on either side of it. */
function middle(x: Float64Array, low: number, high: number): readonly number[] {
  const distance = (index: number) => Math.abs(2 * x[index]! - x[low]! - x[high]!);
  const nearest = nearestIndex(x, (x[low]! + x[high]!) / 2);
  return [nearest - 1, nearest, nearest + 1].filter(
    (index) => distance(index) <= distance(nearest) + 1e-9 * (x[high]! - x[low]!),
  );
}
