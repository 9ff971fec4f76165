import { elementFreedoms } from './assembly.js';
import { uniformLoad } from './beam-element.js';
import { gravity } from './dead-load.js';
import type { HeldRail } from './held-track.js';
import { alongLine, sampleAlongLine } from './influence-lines.js';

/**
 * How far the unloaded rail lies below its place on the deck, in m at any x, because rail and slab weigh on what is left of fastenings and
 * bedding. Constant beyond the modelled track.
 */
export function railSag({ mesh, line, held }: HeldRail): (x: number) => number {
  const displacement = new Float64Array(mesh.size);
  for (const element of [...mesh.slab, ...mesh.rail]) {
    const load = uniformLoad(element, element.massPerLength * gravity);
    elementFreedoms(element).forEach((freedom, i) => {
      displacement[freedom]! += load[i]!;
    });
  }
  held.solve(displacement);
  return alongLine(line, sampleAlongLine(line, displacement));
}
