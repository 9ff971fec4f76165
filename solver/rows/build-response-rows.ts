import type { Mesh } from '../mesh/mesh.js';
import type { TrackLayer, Viaduct } from '../viaduct/model.js';
import { addFasteningRows } from './fastening-rows.js';
import { type ResponseRow, stationIndices } from './response-rows.js';
import { deckPoint, endRow, shearRow, springsByNode, sumRow, trackOffsets } from './row-parts.js';
import { addSupportRows } from './support-rows.js';
import { addTrackMomentRows } from './track-moments.js';
import { addTwistRows } from './twist-rows.js';

/**
 * Parts of a span between moments of a deck that wheels run on themselves: the largest moment stands under an axle, wherever that is
 * while the deck swings, and a twentieth loses up to 1.7 % of it. Track spreads the wheels over more than that.
 */
const momentParts = 60;

/**
 * Every response the checks and the report need.
 *
 * @param momentsOf layers of the track whose moments are wanted
 */
export function buildResponseRows(
  mesh: Mesh,
  viaduct: Viaduct,
  momentsOf: readonly TrackLayer[] = [],
): ResponseRow[] {
  const rows: ResponseRow[] = [];
  const { x } = mesh.grid;
  const first = mesh.grid.supports[0]!;
  const supportAt = new Map(Array.from(mesh.grid.supports, (index, support) => [index, support]));
  const spanAt = (gridIndex: number) =>
    mesh.deckSpan[Math.max(0, Math.min(gridIndex - first, mesh.deckSpan.length) - 1)]!;

  const springs = springsByNode(mesh, 'lower');
  const stations = stationIndices(mesh);
  const tracks = trackOffsets(mesh, viaduct);

  const ordinary = new Set(stations);
  const moments = mesh.rail.length > 0 ? stations : stationIndices(mesh, momentParts);
  for (const i of [...new Set([...stations, ...moments])].sort((a, b) => a - b)) {
    const place = { x: x[i]!, span: spanAt(i), support: -1 } as const;
    const before = i - first - 1;
    const after = i - first;
    if (before >= 0) rows.push(endRow('bending', { ...place, side: 'left' }, mesh, before, 'end'));
    else rows.push(endRow('bending', { ...place, side: 'right' }, mesh, after, 'start'));
    if (!ordinary.has(i)) continue;
    const left = mesh.deckLeft[i];
    const right = mesh.deckRight[i];
    const parted = left && right && (left.deflection !== right.deflection || left.twist !== right.twist);
    for (const node of parted ? [left, right] : [left ?? right!])
      for (const { eccentricity, about } of tracks) {
        const point = deckPoint(node, eccentricity);
        if (point.freedoms.length === 0) continue;
        rows.push(sumRow('deck-acceleration', { ...place, ...about }, point));
        rows.push(sumRow('deck-deflection', { ...place, ...about }, point));
      }
    mesh.tracks.forEach(({ slabNodes }, track) => {
      const slab = slabNodes[i];
      if (!slab) return;
      const about = mesh.tracks.length > 1 ? { track } : {};
      rows.push(sumRow('slab-acceleration', { ...place, ...about }, deckPoint(slab, 0)));
    });
    if (!supportAt.has(i)) continue;
    if (before >= 0) rows.push(shearRow({ ...place, side: 'left' }, mesh, before, 'end', springs));
    if (after < mesh.deck.length)
      rows.push(
        shearRow({ ...place, span: mesh.deckSpan[after]!, side: 'right' }, mesh, after, 'start', springs),
      );
  }
  mesh.supports.forEach((_, support) => {
    addSupportRows(rows, mesh, tracks, support, spanAt, springs);
  });
  mesh.tracks.forEach((_, track) => {
    addFasteningRows(rows, mesh, viaduct, track, spanAt);
    for (const layer of momentsOf) addTrackMomentRows(rows, mesh, viaduct, track, layer, ordinary, spanAt);
  });
  if (mesh.torsion.length > 0) addTwistRows(rows, mesh, stations, spanAt);
  return rows;
}
