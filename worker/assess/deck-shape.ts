import type { Mesh } from '../../solver/mesh/mesh.js';
import { hasTorsion, type Node } from '../../solver/mesh/mesh-nodes.js';
import type { Viaduct } from '../../solver/viaduct/model.js';

/** A node of the deck and where it stands; two at a joint, whose ends may part once the bearing is lost. */
export interface DeckPoint {
  readonly x: number;
  readonly node: Node;
}

/** The deck's nodes in order of x, all of them or those at some grid indices. */
export function deckPoints(
  { grid, deckLeft, deckRight }: Mesh,
  indices?: ArrayLike<number>,
): readonly DeckPoint[] {
  return Array.from(indices ?? grid.x.keys(), (index) => {
    const [left, right] = [deckLeft[index] ?? null, deckRight[index] ?? null];
    const x = grid.x[index]!;
    return (left === right ? [left] : [left, right]).flatMap((node) => (node === null ? [] : [{ x, node }]));
  }).flat();
}

/**
 * m to the right of the axis: where the shape of a mode is drawn. The axis itself, unless the deck turns: then under the first track beside it,
 * or a metre off, so that modes of torsion show.
 */
export function shapeOffset(viaduct: Viaduct): number {
  if (!hasTorsion(viaduct)) return 0;
  return viaduct.tracks?.find(({ eccentricity }) => eccentricity !== 0)?.eccentricity ?? 1;
}

/** Deflection of a mode at the points, y to the right of the axis. */
export function shapeAt(points: readonly DeckPoint[], shape: Float64Array, y: number): number[] {
  const deck: number[] = [];
  for (const { node } of points) {
    const { deflection, twist } = node;
    const axis = deflection < 0 ? 0 : shape[deflection]!;
    deck.push(y === 0 || twist < 0 ? axis : axis + y * shape[twist]!);
  }
  return deck;
}
