import type { DynamicModel } from '../dynamic-model/dynamic-model.js';

/**
 * How far a wheel stands on the modelled track rather than on the ground that goes on beyond it: from 0 at the free end to 1 in
 * the middle of the approach. Without it every wheel would strike the free end of the rail. 1 everywhere without a track.
 *
 * @param sample number of the loaded line, fractions allowed
 */
export function shareOnLine({ mesh, line }: DynamicModel, sample: number): number {
  if (mesh.rail.length === 0) return 1;
  const inside = Math.min(sample, line.count - 1 - sample) * line.step;
  const t = Math.min(1, (2 * inside) / mesh.grid.approach);
  return t * t * (3 - 2 * t);
}
