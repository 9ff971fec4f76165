import { buildLoadedLine, type LoadedLine } from '../lines/loaded-line.js';
import { BandedFactorisation } from '../matrices/banded-factorisation.js';
import { BandedMatrix } from '../matrices/banded-matrix.js';
import { elementFreedoms, stretchOf } from '../mesh/assembly.js';
import { beamStiffness, uniformLoad } from '../mesh/beam-element.js';
import { buildMesh, type LayerSpring, type Mesh } from '../mesh/mesh.js';
import { gravity } from '../viaduct/gravity.js';
import type { Viaduct } from '../viaduct/model.js';

/** How far the deck has moved from its as-built place, downwards; at a joint the two sides may differ. */
export type DeckMovement = (x: number, side: 'left' | 'right') => number;

/**
 * Rail and slab on their fastenings and bedding, the deck held where it is.
 *
 * @throws SingularMatrixError when a piece of the track is held by nothing
 */
export function factoriseHeldTrack(mesh: Mesh): BandedFactorisation {
  // With the deck held nothing reaches across piers.
  const matrix = new BandedMatrix(mesh.size, mesh.halfBandwidth);
  const free = freedomsOfTrack(mesh);
  for (let i = 0; i < mesh.size; i++) if (free[i] === 0) matrix.add(i, i, 1);
  for (const element of [...mesh.slab, ...mesh.rail]) {
    const freedoms = elementFreedoms(element);
    const stiffness = beamStiffness(element);
    for (let i = 0; i < 4; i++)
      for (let j = 0; j <= i; j++) matrix.add(freedoms[i]!, freedoms[j]!, stiffness[4 * i + j]!);
  }
  for (const spring of mesh.springs) {
    const { freedoms, weights } = stretchOf(spring);
    freedoms.forEach((a, i) => {
      freedoms.slice(0, i + 1).forEach((b, j) => {
        if (free[a] && free[b]) matrix.add(a, b, spring.stiffness * weights[i]! * weights[j]!);
      });
    });
  }
  return new BandedFactorisation(matrix);
}

/** m between the samples of a held rail: seats are two to three of these apart, and what is lost between them is seen. */
const lineStep = 0.25;

/** The rail and what is left of its springs, the deck held where it is. All tracks are alike in it. */
export interface HeldRail {
  readonly mesh: Mesh;
  readonly line: LoadedLine;
  readonly held: BandedFactorisation;
}

/**
 * One element per segment.
 *
 * @throws SingularMatrixError when a piece of the track is held by nothing (ask findMechanism first)
 */
export function holdRail(viaduct: Viaduct): HeldRail {
  const mesh = buildMesh(viaduct, { highestFrequency: 0 });
  return { mesh, line: buildLoadedLine(mesh, lineStep), held: factoriseHeldTrack(mesh) };
}

/** Displacements of rail and slab under what they weigh. */
export function underOwnWeight(mesh: Mesh, held: BandedFactorisation): Float64Array {
  const displacement = new Float64Array(mesh.size);
  for (const element of [...mesh.slab, ...mesh.rail]) {
    const load = uniformLoad(element, element.massPerLength * gravity);
    elementFreedoms(element).forEach((freedom, i) => {
      displacement[freedom]! += load[i]!;
    });
  }
  held.solve(displacement);
  return displacement;
}

/** Displacements of rail and slab once the deck has moved. */
export function trackOnMovedDeck(mesh: Mesh, held: BandedFactorisation, moved: DeckMovement): Float64Array {
  const deck = deckPlaces(mesh, moved);
  const displacement = new Float64Array(mesh.size);
  for (const { upper, lower, stiffness } of mesh.springs)
    displacement[upper.deflection]! += stiffness * ((lower && deck.get(lower)) ?? 0);
  held.solve(displacement);
  return displacement;
}

/**
 * By how much the layer of a spring is pressed together once the deck has moved, m.
 *
 * @param displacement of rail and slab, from trackOnMovedDeck
 * @param deck where its nodes have gone; the ground stays
 */
export function pressedOnMovedDeck(
  { upper, lower }: LayerSpring,
  displacement: Float64Array,
  deck: ReadonlyMap<object, number>,
): number {
  const base = lower ? (deck.get(lower) ?? displacement[lower.deflection]!) : 0;
  return displacement[upper.deflection]! - base;
}

/** Where each node of the deck has gone. */
export function deckPlaces(mesh: Mesh, moved: DeckMovement): ReadonlyMap<object, number> {
  const deck = new Map<object, number>();
  mesh.grid.x.forEach((x, i) => {
    for (const [node, side] of [
      [mesh.deckLeft[i], 'left'],
      [mesh.deckRight[i], 'right'],
    ] as const)
      if (node && !deck.has(node)) deck.set(node, moved(x, side));
  });
  return deck;
}

function freedomsOfTrack(mesh: Mesh): Uint8Array {
  const free = new Uint8Array(mesh.size);
  for (const element of [...mesh.slab, ...mesh.rail]) for (const i of elementFreedoms(element)) free[i] = 1;
  return free;
}
