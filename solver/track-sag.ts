import { elementFreedoms } from './assembly.js';
import { uniformLoad } from './beam-element.js';
import { gravity } from './dead-load.js';
import { factoriseHeldTrack } from './held-track.js';
import { alongLine, buildLoadedLine, sampleAlongLine } from './influence-lines.js';
import { buildMesh } from './mesh.js';
import type { Viaduct } from './model.js';

/** m */
const lineStep = 0.25;

/**
 * How far the unloaded rail lies below its place on the deck, in m at any x, because rail and slab weigh on what is left of fastenings and
 * bedding; the deck is held. Constant beyond the modelled track. All tracks are alike in it; 0 without one.
 *
 * @throws SingularMatrixError when a piece of the track is held by nothing (ask findMechanism first)
 */
export function railSag(viaduct: Viaduct): (x: number) => number {
  const mesh = buildMesh(viaduct, { highestFrequency: 0 });
  const displacement = new Float64Array(mesh.size);
  for (const element of [...mesh.slab, ...mesh.rail]) {
    const load = uniformLoad(element, element.massPerLength * gravity);
    elementFreedoms(element).forEach((freedom, i) => {
      displacement[freedom]! += load[i]!;
    });
  }
  factoriseHeldTrack(mesh).solve(displacement);
  const line = buildLoadedLine(mesh, lineStep);
  return alongLine(line, sampleAlongLine(line, displacement));
}
