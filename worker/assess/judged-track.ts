import type { DamageCase, Resistance } from '../../scenarios/assessment-model.js';
import { factoriseHeldTrack, trackOnMovedDeck } from '../../solver/held-track/held-track.js';
import { buildMesh } from '../../solver/mesh/mesh.js';
import {
  type MomentStretch,
  stretchesBent,
  stretchesOverLosses,
} from '../../solver/rows/moment-stretches.js';
import type { TrackLayer, Viaduct } from '../../solver/viaduct/model.js';
import { type DeadLoadChange, movementUnderTrack } from './dead-load-change.js';

/**
 * Share of its resistance from which a layer that follows the moved deck is judged. With less than this it carries what it was built for, and
 * little besides.
 */
const noticeable = 0.02;

/**
 * Where slab and rails are compared with their resistance: over what is lost below them, and where following the deck that the damage has
 * moved bends them noticeably. Nothing where no resistance is known.
 *
 * @param viaduct stands (no mechanism)
 * @param changes of the deck under dead load, one for each set of bounds
 */
export function judgedTrack(
  { resistance }: Pick<DamageCase, 'resistance'>,
  viaduct: Viaduct,
  changes: readonly DeadLoadChange[],
): MomentStretch[] {
  const { track, tracks = [null] } = viaduct;
  if (!track || !resistance) return [];
  const layers = (['slab', 'rail'] as const).flatMap((layer) => {
    const least = leastResistance(layer, resistance);
    return least === null ? [] : [{ layer, least: noticeable * least }];
  });
  if (layers.length === 0) return [];
  const stretches = layers.flatMap(({ layer }) => stretchesOverLosses(viaduct, layer));
  if (changes.length === 0) return stretches;
  const mesh = buildMesh(viaduct, { highestFrequency: 0 });
  const held = factoriseHeldTrack(mesh);
  for (const change of changes) {
    tracks.forEach((_, index) => {
      const displacement = trackOnMovedDeck(mesh, held, movementUnderTrack(change, viaduct, index));
      for (const { layer, least } of layers)
        stretches.push(...stretchesBent(mesh, index, layer, displacement, least));
    });
  }
  return stretches;
}

/** Of sagging and hogging, N m; null where neither was given. */
function leastResistance(layer: TrackLayer, { track }: Resistance): number | null {
  const { slabSagging, slabHogging, rail } = track;
  if (layer === 'rail') return rail;
  return slabSagging === null || slabHogging === null
    ? (slabSagging ?? slabHogging)
    : Math.min(slabSagging, slabHogging);
}
