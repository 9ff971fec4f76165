import { pairsLeft } from '../held-track/moved-seats.js';
import { stretchOf } from '../mesh/assembly.js';
import { nearestIndex } from '../mesh/grid.js';
import type { LayerSpring, Mesh } from '../mesh/mesh.js';
import type { Viaduct } from '../viaduct/model.js';
import type { ResponseRow } from './response-rows.js';
import { sumRow } from './row-parts.js';

/**
 * Seats near joints, abutments and the edges of damaged stretches, and the two beside every joint of slab panels, where uplift
 * governs; one every three metres elsewhere, counted from both ends of the deck towards its middle.
 */
export function addFasteningRows(
  rows: ResponseRow[],
  mesh: Mesh,
  viaduct: Viaduct,
  track: number,
  spanAt: (i: number) => number,
): void {
  const near = 2.5;
  const apart = 3;
  const { x } = mesh.grid;
  const ends = mesh.supports.filter(
    ({ support, nodes }, index) =>
      nodes.length > 1 || !support.bearing || index === 0 || index === mesh.supports.length - 1,
  );
  const edges = (viaduct.track?.losses ?? []).flatMap((loss) => [loss.from, loss.to]);
  const critical = [...ends.map(({ gridIndex }) => x[gridIndex]!), ...edges];
  const seats: LayerSpring[] = [];
  for (const spring of mesh.springs) {
    if (spring.kind !== 'fastening' || spring.track !== track) continue;
    const besideDeck = spring.x >= -near && spring.x <= mesh.length + near;
    if (besideDeck || isNear(edges, spring.x, near)) seats.push(spring);
  }
  const besidePanelJoint = new Set(
    Array.from(mesh.grid.panelJoints).flatMap((joint) => {
      const next = seats.findIndex(({ x: at }) => at >= x[joint]! - 1e-9);
      return [seats[next - 1], seats[next]];
    }),
  );
  const isCritical = (seat: LayerSpring) => besidePanelJoint.has(seat) || isNear(critical, seat.x, near);
  const thinned = (ordered: readonly LayerSpring[]) => {
    let last = Number.NaN;
    return ordered.filter((seat) => {
      if (!isCritical(seat) && Math.abs(seat.x - last) < apart - 1e-9) return false;
      last = seat.x;
      return true;
    });
  };
  const half = mesh.length / 2 + 1e-6;
  const taken = new Set([
    ...thinned(seats.filter(({ x: at }) => at <= half)),
    ...thinned(seats.filter(({ x: at }) => mesh.length - at <= half).reverse()),
  ]);
  for (const spring of seats) {
    if (!taken.has(spring)) continue;
    const gridIndex = nearestIndex(x, spring.x);
    const onDeck = spring.x >= 0 && spring.x <= mesh.length;
    const { freedoms, weights } = stretchOf(spring);
    const free = freedoms.flatMap((freedom, k) => (freedom < 0 ? [] : [{ freedom, weight: weights[k]! }]));
    // Force of a whole pair: where some are lost, those that are left take it. Seats with nothing left carry nothing.
    const pairs = viaduct.track && spring.stiffness > 0 ? pairsLeft(spring, viaduct.track.fastening) : 1;
    const about = mesh.tracks.length > 1 ? { track } : {};
    const place = { x: spring.x, span: onDeck ? spanAt(gridIndex) : -1, support: -1, ...about };
    const force = {
      freedoms: free.map(({ freedom }) => freedom),
      weights: free.map(({ weight }) => (weight * spring.stiffness) / pairs),
    };
    rows.push(sumRow('fastening-force', place, force));
  }
}

function isNear(positions: readonly number[], x: number, distance: number): boolean {
  for (const position of positions) if (Math.abs(position - x) <= distance) return true;
  return false;
}
