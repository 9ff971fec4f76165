import { buildMesh, type Mesh, nothingLeft } from '../mesh/mesh.js';
import type { Node } from '../mesh/mesh-nodes.js';
import type { Viaduct } from '../viaduct/model.js';

/** A stretch of slab that nothing holds, in x along the deck. */
export interface LooseStretch {
  readonly from: number;
  readonly to: number;
}

/**
 * Panels of the slab that neither bedding nor fastenings hold at two places at least, neighbours put together, of all tracks. Only
 * a layer that is wholly lost leaves one.
 */
export function findLoosePanels(viaduct: Viaduct): readonly LooseStretch[] {
  const { track } = viaduct;
  if (!track?.slab) return [];
  const leastLeft = track.losses.reduce((left, { fraction }) => left * (1 - fraction), 1);
  if (leastLeft >= nothingLeft) return [];
  const mesh = buildMesh(viaduct, { highestFrequency: 0 });
  const places = heldPlaces(mesh);
  const loose = mesh.tracks.flatMap(({ slab }) => {
    const stretches: LooseStretch[] = [];
    let first = 0;
    slab.forEach((element, index) => {
      const next = slab[index + 1];
      if (next && next.start === element.end) return;
      const panel = slab.slice(first, index + 1);
      first = index + 1;
      const held = new Set(
        panel.flatMap(({ start, end }) => [...(places.get(start) ?? []), ...(places.get(end) ?? [])]),
      );
      if (held.size >= 2) return;
      const from = panel[0]!.x;
      const before = stretches.at(-1);
      const adjoins = before !== undefined && Math.abs(before.to - from) < 1e-9;
      if (adjoins) stretches.pop();
      stretches.push({ from: adjoins ? before.from : from, to: element.x + element.length });
    });
    return stretches;
  });
  return loose.sort((a, b) => a.from - b.from);
}

/** Where each node of the slab is on a spring that is left. */
function heldPlaces({ springs }: Mesh): ReadonlyMap<Node, readonly number[]> {
  const places = new Map<Node, number[]>();
  for (const { x, upper, lower, stiffness } of springs) {
    if (stiffness <= 0) continue;
    for (const node of [upper, lower]) if (node) places.set(node, [...(places.get(node) ?? []), x]);
  }
  return places;
}
