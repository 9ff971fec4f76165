import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import { type DeckMovement, factoriseHeldTrack, trackOnMovedDeck } from '../held-track/held-track.js';
import { alongLine, sampleAlongLine } from '../lines/loaded-line.js';
import type { TrackProfile } from './running-line.js';

/** m: without a track in the model, a rail that is there all the same takes a step of the deck over this length. */
const bridgedLength = 1;

/**
 * Where the unloaded rail lies once the deck has moved. Rail and slab are beams on their fastenings and bedding and round off the steps
 * and kinks of the deck below them; the ground beyond the abutments has not moved.
 *
 * @throws SingularMatrixError when a piece of the track is held by nothing
 */
export function railAlignment(model: DynamicModel, moved: DeckMovement): TrackProfile {
  const { mesh, line } = model;
  const samples =
    mesh.rail.length === 0
      ? bridged(model, moved)
      : sampleAlongLine(line, trackOnMovedDeck(mesh, factoriseHeldTrack(mesh), moved));
  return {
    everywhere: false,
    shortestWave: Number.POSITIVE_INFINITY,
    levelAt: alongLine(line, samples),
  };
}

function bridged({ mesh, line }: DynamicModel, moved: DeckMovement): Float64Array {
  const at = (x: number) => (x < 0 || x > mesh.length ? 0 : moved(x, x < mesh.length / 2 ? 'right' : 'left'));
  const parts = 20;
  return Float64Array.from({ length: line.count }, (_, k) => {
    let sum = 0;
    for (let part = 0; part < parts; part++)
      sum += at(line.from + k * line.step + bridgedLength * ((part + 0.5) / parts - 0.5));
    return sum / parts;
  });
}
