import type { LayerSpring, Mesh } from '../mesh/mesh.js';
import type { Fastening } from '../viaduct/model.js';
import {
  type DeckMovement,
  deckPlaces,
  factoriseHeldTrack,
  pressedOnMovedDeck,
  trackOnMovedDeck,
} from './held-track.js';

/** Whole pairs of seats that a fastening spring stands for, at most one: what is left pulls where some are lost, and one that stands for more has no more of them. */
export function pairsLeft({ stiffness }: LayerSpring, fastening: Fastening): number {
  return Math.min(1, stiffness / fastening.stiffness);
}

/**
 * Force that presses each pair of seats of a track together once the deck has moved, N per whole pair, by its place along the deck; without trains and
 * without what rail and slab weigh. Seats with nothing left are not among them.
 *
 * @throws SingularMatrixError when a piece of the track is held by nothing
 */
export function seatForcesOnMovedDeck(
  mesh: Mesh,
  fastening: Fastening,
  track: number,
  moved: DeckMovement,
): ReadonlyMap<number, number> {
  const displacement = trackOnMovedDeck(mesh, factoriseHeldTrack(mesh), moved);
  const deck = deckPlaces(mesh, moved);
  const forces = new Map<number, number>();
  for (const spring of mesh.springs) {
    if (spring.kind !== 'fastening' || spring.track !== track || spring.stiffness === 0) continue;
    const force = spring.stiffness * pressedOnMovedDeck(spring, displacement, deck);
    forces.set(spring.x, force / pairsLeft(spring, fastening));
  }
  return forces;
}
