import { alongLine, sampleAlongLine } from '../lines/loaded-line.js';
import { type HeldRail, underOwnWeight } from './held-track.js';

/**
 * How far the unloaded rail lies below its place on the deck, in m at any x, because rail and slab weigh on what is left of fastenings and
 * bedding. Constant beyond the modelled track.
 */
export function railSag({ mesh, line, held }: HeldRail): (x: number) => number {
  return alongLine(line, sampleAlongLine(line, underOwnWeight(mesh, held)));
}
