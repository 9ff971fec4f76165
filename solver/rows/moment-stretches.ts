import type { Mesh } from '../mesh/mesh.js';
import { characteristicLengthOfTrack } from '../viaduct/characteristic-length.js';
import type { TrackLayer, Viaduct } from '../viaduct/model.js';
import { layerMomentRow } from './row-parts.js';

/** Where along a track the moments of one of its layers are wanted; x in m, the ends included. */
export interface MomentStretch {
  readonly layer: TrackLayer;
  readonly track: number;
  readonly from: number;
  readonly to: number;
}

/** Characteristic lengths: beside a loss the moment that hangs over its edge has died down within a quarter of a wave. */
const besideLoss = Math.PI / 2;

/** Where a layer spans what is lost of a track, and beside it; on every track alike. */
export function stretchesOverLosses({ track, tracks }: Viaduct, layer: TrackLayer): MomentStretch[] {
  if (!track) return [];
  const reach = besideLoss * characteristicLengthOfTrack(track);
  return (tracks ?? [null]).flatMap((_, index) =>
    track.losses.map(({ from, to }) => ({ layer, track: index, from: from - reach, to: to + reach })),
  );
}

/**
 * Where a layer of a track is bent by a given moment or more, either way; each stretch reaches to the nodes beside.
 *
 * @param displacement of rail and slab, m and rad
 * @param least N m, above 0
 */
export function stretchesBent(
  mesh: Mesh,
  track: number,
  layer: TrackLayer,
  displacement: Float64Array,
  least: number,
): MomentStretch[] {
  const { x } = mesh.grid;
  const last = x.length - 1;
  const found: MomentStretch[] = [];
  if (mesh.tracks[track]![layer].length === 0) return found;
  for (let i = 1; i <= last; i++) {
    const { freedoms, stiffness } = layerMomentRow(
      layer,
      { x: x[i]!, span: -1, support: -1 },
      mesh,
      track,
      i - 1,
    );
    let moment = 0;
    for (let k = 0; k < freedoms.length; k++) moment += stiffness[k]! * displacement[freedoms[k]!]!;
    if (Math.abs(moment) < least) continue;
    const before = found.at(-1);
    const joins = before !== undefined && before.to >= x[i - 1]!;
    if (joins) found.pop();
    found.push({ layer, track, from: joins ? before.from : x[i - 1]!, to: x[Math.min(i + 1, last)]! });
  }
  return found;
}
