import { elementFreedoms } from '../assembly.js';
import { BandedFactorisation } from '../banded-factorisation.js';
import { BandedMatrix } from '../banded-matrix.js';
import { beamStiffness } from '../beam-element.js';
import type { DynamicModel } from '../dynamic-model.js';
import { sampleAlongLine } from '../influence-lines.js';
import type { Mesh } from '../mesh.js';
import type { TrackProfile } from './running-line.js';

/** How far the deck has moved from its as-built place, downwards; at a joint the two sides may differ. */
export type DeckMovement = (x: number, side: 'left' | 'right') => number;

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
    mesh.rail.length === 0 ? bridged(model, moved) : sampleAlongLine(line, trackUnder(mesh, moved));
  return {
    everywhere: false,
    shortestWave: Number.POSITIVE_INFINITY,
    levelAt(x) {
      const position = Math.min(Math.max((x - line.from) / line.step, 0), line.count - 1);
      const index = Math.min(Math.floor(position), line.count - 2);
      const value = samples[index]!;
      return value + (samples[index + 1]! - value) * (position - index);
    },
  };
}

/** Displacements of rail and slab with the deck held in its new place. */
function trackUnder(mesh: Mesh, moved: DeckMovement): Float64Array {
  const matrix = new BandedMatrix(mesh.size, mesh.halfBandwidth, mesh.border);
  const displacement = new Float64Array(mesh.size);
  const deck = new Map<object, number>();
  mesh.grid.x.forEach((x, i) => {
    for (const [node, side] of [
      [mesh.deckLeft[i], 'left'],
      [mesh.deckRight[i], 'right'],
    ] as const) {
      if (!node || deck.has(node)) continue;
      deck.set(node, moved(x, side));
      matrix.add(node.deflection, node.deflection, 1);
      matrix.add(node.rotation, node.rotation, 1);
    }
  });
  for (const element of [...mesh.slab, ...mesh.rail]) {
    const freedoms = elementFreedoms(element);
    const stiffness = beamStiffness(element);
    for (let i = 0; i < 4; i++)
      for (let j = 0; j <= i; j++) matrix.add(freedoms[i]!, freedoms[j]!, stiffness[4 * i + j]!);
  }
  for (const { upper, lower, stiffness } of mesh.springs) {
    matrix.add(upper.deflection, upper.deflection, stiffness);
    const below = lower === null ? 0 : deck.get(lower);
    if (below !== undefined) {
      displacement[upper.deflection]! += stiffness * below;
    } else if (lower !== null) {
      matrix.add(lower.deflection, lower.deflection, stiffness);
      matrix.add(upper.deflection, lower.deflection, -stiffness);
    }
  }
  new BandedFactorisation(matrix).solve(displacement);
  return displacement;
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
