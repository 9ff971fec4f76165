import type { Mesh } from '../mesh/mesh.js';
import type { Node } from '../mesh/mesh-nodes.js';
import { standingSides } from '../viaduct/bearings.js';
import type { ResponseRow } from './response-rows.js';
import {
  combined,
  deckPoint,
  type Place,
  type RowParts,
  reactionParts,
  type SpringsByNode,
  sumRow,
  type TrackOffset,
  torqueParts,
} from './row-parts.js';

/** Reactions of a support and its bearings, the rotation of deck ends there and the step between them. */
export function addSupportRows(
  rows: ResponseRow[],
  mesh: Mesh,
  tracks: readonly TrackOffset[],
  support: number,
  spanAt: (i: number) => number,
  springs: SpringsByNode,
): void {
  const { nodes, gridIndex, carries } = mesh.supports[support]!;
  const place = { x: mesh.grid.x[gridIndex]!, span: spanAt(gridIndex), support };
  if (carries) addReactions(rows, mesh, support, place, springs);
  const lastSupport = mesh.supports.length - 1;
  const [left, right] = nodes;
  if (nodes.length === 1 && support !== 0 && support !== lastSupport) return;
  for (const { eccentricity, about } of tracks) {
    const here = { ...place, ...about };
    rows.push({
      quantity: 'end-rotation',
      side: 'only',
      ...here,
      ...turn(mesh, gridIndex, nodes, eccentricity),
    });
    if (nodes.length === 2 && left!.deflection === right!.deflection && left!.twist === right!.twist)
      continue;
    const before = deckPoint(left!, eccentricity);
    const after = nodes.length === 2 ? deckPoint(right!, eccentricity) : null;
    const step = after ? difference(before, after) : before;
    if (step.freedoms.length > 0) rows.push(sumRow('joint-step', here, step));
  }
}

function addReactions(
  rows: ResponseRow[],
  mesh: Mesh,
  support: number,
  place: Place,
  springs: SpringsByNode,
): void {
  const { nodes, support: about } = mesh.supports[support]!;
  const lines = nodes.map((node) => reactionParts(mesh, node, springs));
  rows.push({
    quantity: 'support-reaction',
    ...place,
    side: 'only',
    ...combined(lines.map((line) => [line, 1] as const)),
  });
  nodes.forEach((node, index) => {
    const end = nodes.length === 1 ? 'only' : index === 0 ? 'left' : 'right';
    const sides = standingSides(about, end);
    for (const bearing of sides) {
      // Shares as in bearingShare. Where one line of bearings is the whole support, its row above says the same.
      if (bearing === 'only' && lines.length === 1) continue;
      const share = (bearing === 'right' ? 1 : -1) / (about.bearingSpread ?? 1);
      const parts =
        sides.length < 2
          ? lines[index]!
          : combined([
              [lines[index]!, 1 / 2],
              [torqueParts(mesh, node, springs), share],
            ]);
      const which = bearing === 'only' ? {} : { bearing };
      rows.push({ quantity: 'bearing-reaction', ...place, ...which, side: end, ...parts });
    }
  });
}

/** Rotation of a deck end under a track, or the angle between two of them. */
function turn(mesh: Mesh, gridIndex: number, nodes: readonly Node[], eccentricity: number): RowParts {
  const first = mesh.grid.supports[0]!;
  const [left, right] = nodes;
  const slope = (node: Node, element: number, end: 'start' | 'end'): RowParts => {
    const torsion = mesh.torsion[element];
    if (!torsion || eccentricity === 0)
      return { freedoms: [node.rotation], stiffness: [1], inertia: [0], direct: [] };
    const share = eccentricity / torsion.length;
    const freedoms = [torsion.start.twist, torsion.end.twist];
    const weights = [-share, share];
    const used = [0, 1].filter((k) => freedoms[k]! >= 0);
    // A torque inside the element twists its parts by more, or less, than its nodes tell.
    const sign = end === 'start' ? 1 : -1;
    const factor = (sign * eccentricity) / torsion.rigidity;
    return {
      freedoms: [node.rotation, ...used.map((k) => freedoms[k]!)],
      stiffness: [1, ...used.map((k) => weights[k]!)],
      inertia: [0, ...used.map(() => 0)],
      direct: [{ element, shape: end === 'start' ? 4 : 5, factor }],
    };
  };
  const before = gridIndex - first - 1;
  if (nodes.length === 2)
    return combined([
      [slope(left!, before, 'end'), -1],
      [slope(right!, before + 1, 'start'), 1],
    ]);
  return before < 0 ? slope(left!, 0, 'start') : slope(left!, before, 'end');
}

type Sum = { readonly freedoms: readonly number[]; readonly weights: readonly number[] };

/** The second sum less the first. */
function difference(before: Sum, after: Sum): Sum {
  return {
    freedoms: [...before.freedoms, ...after.freedoms],
    weights: [...before.weights.map((weight) => -weight), ...after.weights],
  };
}
