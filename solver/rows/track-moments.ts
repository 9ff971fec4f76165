import {
  type DeckMovement,
  deckPlaces,
  factoriseHeldTrack,
  trackOnMovedDeck,
  underOwnWeight,
} from '../held-track/held-track.js';
import { uniformLoad } from '../mesh/beam-element.js';
import { elementAt } from '../mesh/element-at.js';
import { type Mesh, remainingAt } from '../mesh/mesh.js';
import { characteristicLengthOfTrack } from '../viaduct/characteristic-length.js';
import { gravity } from '../viaduct/gravity.js';
import type { Track, TrackLayer, Viaduct } from '../viaduct/model.js';
import { type ResponseRow, rowsOf } from './response-rows.js';
import { layerMomentRow, railMomentBetweenSeats, spreadMomentRow, springsByNode } from './row-parts.js';

/** Characteristic lengths: beside a loss, a joint or a deck end the moment that hangs over its edge has died down within a quarter of a wave. */
const besideEdge = Math.PI / 2;

/**
 * Moments of a track's slab or rail: at every node beside supports and over and beside what is lost, and of panels, which are short; elsewhere
 * at the stations of the deck, since a uniform track on a deck that bends smoothly is bent alike at all its seats. Of the rail midway
 * between seats, where a wheel bends it most, and beside edges at the seats as well.
 *
 * @param stations of the deck, see stationIndices
 */
export function addTrackMomentRows(
  rows: ResponseRow[],
  mesh: Mesh,
  { track }: Viaduct,
  index: number,
  layer: TrackLayer,
  stations: ReadonlySet<number>,
  spanAt: (gridIndex: number) => number,
): void {
  if (!track || mesh.tracks[index]![layer].length === 0) return;
  const { x, supports } = mesh.grid;
  const about = mesh.tracks.length > 1 ? { track: index } : {};
  const isNearEdge = nearEdges(
    track,
    Array.from(supports, (support) => x[support]!),
  );
  const inPanels = layer === 'slab' && track.slab?.panelLength !== null;
  const springs = springsByNode(mesh, 'upper');
  const isBesideEdge = (i: number) => isNearEdge(x[i]!);
  const placeOf = (at: number, i: number) => {
    const onDeck = at >= 0 && at <= mesh.length;
    return { x: at, span: onDeck ? spanAt(i) : -1, support: -1, ...about };
  };
  for (let i = 1; i < x.length; i++) {
    if (layer === 'rail') {
      const middle = (x[i - 1]! + x[i]!) / 2;
      // Of the two beside a station the one nearer to the middle of the deck, so that mirror images have the same places.
      const isOfStation = stations.has(middle < mesh.length / 2 ? i - 1 : i);
      if (isOfStation || isBesideEdge(i - 1) || isBesideEdge(i))
        rows.push(railMomentBetweenSeats(placeOf(middle, i), mesh, index, i - 1));
    }
    if (!isBesideEdge(i) && !(layer === 'slab' && (inPanels || stations.has(i)))) continue;
    const place = placeOf(x[i]!, i);
    const spread = layer === 'slab' ? spreadMomentRow(place, mesh, index, i - 1, springs) : null;
    if (spread) rows.push(spread);
    // Hogging peaks between the nodes beside an edge, where what bedding on the nodes makes of it stands in for it.
    if (!spread || isBesideEdge(i)) rows.push(layerMomentRow(layer, place, mesh, index, i - 1));
  }
}

/** Whether a place stands over or beside what is lost, or beside a support. */
function nearEdges(track: Track, supports: readonly number[]): (at: number) => boolean {
  const reach = besideEdge * characteristicLengthOfTrack(track);
  const stretches = [...supports.map((at) => ({ from: at, to: at })), ...track.losses];
  return (at) => stretches.some(({ from, to }) => at > from - reach && at < to + reach);
}

/**
 * Moments of slab or rail, N m, sagging positive, that no train makes: under what both weigh where they are not held from below, and from
 * following a deck that has moved.
 *
 * @param rows those of the mesh; what comes back is by their index, 0 for rows of other quantities
 * @param moved of the deck under each track
 * @throws SingularMatrixError when a piece of the track is held by nothing
 */
export function deadTrackMoments(
  mesh: Mesh,
  rows: readonly ResponseRow[],
  moved: (track: number) => DeckMovement,
): Float64Array {
  const moments = new Float64Array(rows.length);
  const held = factoriseHeldTrack(mesh);
  const weighed = underOwnWeight(mesh, held);
  const followed = mesh.tracks.map((_, track) => trackOnMovedDeck(mesh, held, moved(track)));
  const deck = mesh.tracks.map((_, track) => deckPlaces(mesh, moved(track)));
  for (const layer of ['slab', 'rail'] as const) {
    for (const index of rowsOf(rows, `${layer}-bending`)) {
      const { x, track = 0, freedoms, stiffness, pressed = [] } = rows[index]!;
      const elements = mesh.tracks[track]![layer];
      const element = elements[elementAt(elements, x, 'left')]!;
      const along = x - element.x;
      const weight = element.massPerLength * gravity;
      // The end's nodal moment of its own weight, see layerMomentRow; between seats a simple span's more.
      let sum = uniformLoad(element, weight)[3]! + (weight * along * (element.length - along)) / 2;
      freedoms.forEach((freedom, k) => {
        sum += stiffness[k]! * (weighed[freedom]! + followed[track]![freedom]!);
      });
      // The row takes the deck for where it was.
      for (const { spring, length } of pressed)
        sum -= length * spring.stiffness * ((spring.lower && deck[track]!.get(spring.lower)) ?? 0);
      moments[index] = sum;
    }
  }
  return moments;
}

/**
 * Share of its stiffness below which a layer no longer bears what lies on it: that bends as the fourth root of the softening (Winkler), so
 * that a sixteenth left doubles its moment, and with less it spans a hollow rather than rests.
 */
const hollowShare = 1 / 16;

/** Whether slab or rail span a stretch anywhere because bedding, or fastenings, are as good as gone. */
export function spansHollow({ losses }: Track, layer: TrackLayer): boolean {
  const below = layer === 'slab' ? 'bedding' : 'fastening';
  const own = losses.filter((loss) => loss.layer === below && loss.to > loss.from);
  const edges = [...new Set(own.flatMap(({ from, to }) => [from, to]))].sort((a, b) => a - b);
  return edges.some((from, i) => {
    const middle = (from + (edges[i + 1] ?? from)) / 2;
    return remainingAt(losses, below, middle, middle) <= hollowShare;
  });
}
