import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import {
  type DeckMovement,
  deckPlaces,
  factoriseHeldTrack,
  pressedOnMovedDeck,
  trackOnMovedDeck,
} from '../held-track/held-track.js';
import { pairsLeft } from '../held-track/moved-seats.js';
import { type LineSamples, trimmed } from '../lines/line-samples.js';
import { sampleAlongLine } from '../lines/loaded-line.js';
import { BandedFactorisation } from '../matrices/banded-factorisation.js';
import { assembleSystem, elementFreedoms, stretchOf } from '../mesh/assembly.js';
import { beamStiffness } from '../mesh/beam-element.js';
import type { BeamElement, LayerSpring } from '../mesh/mesh.js';
import { characteristicLengthOfRail } from '../viaduct/characteristic-length.js';
import type { Fastening, Track } from '../viaduct/model.js';
import type { SeatLaw } from './seat-law.js';

/**
 * The seats on both sides of a joint or of an end of the deck, as the linear structure shows them: what a wheel, the movement of the
 * deck and the other seats do to each, and to the rail's bending between them.
 */
export interface DeckEnd {
  /** m */
  readonly x: number;
  /** Index of the support. */
  readonly support: number;
  /** Index of the track. */
  readonly track: number;
  readonly seats: readonly {
    readonly x: number;
    readonly law: SeatLaw;
    /** Whole pairs that pull; see pairsLeft in moved-seats.ts. */
    readonly pairs: number;
  }[];
  /** m/N, seats x seats, row by row: stretch of one per force that presses the layers of another together. */
  readonly compliance: Float64Array;
  /** m/N: stretch of each seat under a unit wheel load along the loaded line. */
  readonly seatLines: readonly LineSamples[];
  /** m: stretch of each seat by the movement of the deck. */
  readonly seatsMoved: Float64Array;
  /** m: nodes of the rail at which its bending is looked at. */
  readonly railX: Float64Array;
  /** m: bending of the rail under a unit wheel load less that on a deck that does not move. */
  readonly railLines: readonly LineSamples[];
  /** Nm: by the movement of the deck. */
  readonly railMoved: Float64Array;
  /** m, rail nodes x seats, row by row: bending per force that presses the layers of a seat together. */
  readonly railCompliance: Float64Array;
}

/** m, and in characteristic lengths of the rail on its fastenings: what a step or kink does further off is below e^-4. */
const nearest = 2.5;
const nearestCharacteristic = 4;

/**
 * Collects the seats near every joint and end of the deck, of the track that the trains of the model run on. Stretches and bending are linear functionals of the displacements, so that
 * Maxwell's theorem gives their influence lines by one solution each, as in influence-lines.ts. The increment of the rail's bending is that of
 * the structure less that of the same track on a deck that stands still.
 *
 * @param moved how the deck lies away from its as-built place; null: as built
 * @throws SingularMatrixError when a piece of the track is held by nothing
 */
export function buildDeckEnds(
  model: DynamicModel,
  track: Track,
  moved: DeckMovement | null,
): readonly DeckEnd[] {
  const { mesh } = model;
  const { clamping } = track.fastening;
  if (!clamping) return [];
  const whole = new BandedFactorisation(assembleSystem(mesh).stiffness);
  const held = factoriseHeldTrack(mesh);
  const displaced = moved && trackOnMovedDeck(mesh, held, moved);
  const places = moved && deckPlaces(mesh, moved);
  const reach = Math.max(nearest, nearestCharacteristic * characteristicLengthOfRail(track));
  const last = mesh.supports.length - 1;
  const loaded = model.line.track;
  return mesh.supports.flatMap(({ gridIndex, nodes, support }, index): DeckEnd[] => {
    if (nodes.length === 1 && support.bearing && index > 0 && index < last) return [];
    const at = mesh.grid.x[gridIndex]!;
    const springs = mesh.springs.filter(
      (spring) =>
        spring.kind === 'fastening' &&
        spring.track === loaded &&
        spring.stiffness > 0 &&
        Math.abs(spring.x - at) <= reach,
    );
    const rail = mesh.tracks[loaded]!.rail.filter(({ x }) => Math.abs(x - at) <= reach);
    return [{ x: at, support: index, track: loaded, ...linearResponse(springs, rail) }];
  });

  function linearResponse(springs: readonly LayerSpring[], rail: readonly BeamElement[]) {
    const stretches = springs.map((spring) => functional(stretchOf(spring), mesh.size));
    const bendings = rail.map((element) => functional(bendingAtStart(element), mesh.size));
    const underPress = stretches.map(({ vector }) => solved(whole, vector));
    return {
      seats: springs.map((spring) => seatOf(spring, track.fastening, clamping!)),
      compliance: Float64Array.from(stretches.flatMap((one) => underPress.map((u) => one.of(u)))),
      seatLines: underPress.map((u) => trimmed(sampleAlongLine(model.line, u))),
      seatsMoved: Float64Array.from(springs, (spring) =>
        displaced && places ? pressedOnMovedDeck(spring, displaced, places) : 0,
      ),
      railX: Float64Array.from(rail, ({ x }) => x),
      railLines: bendings.map(({ vector }) => {
        const onDeck = sampleAlongLine(model.line, solved(whole, vector));
        const onGround = sampleAlongLine(model.line, solved(held, vector));
        return trimmed(onDeck.map((value, k) => value - onGround[k]!));
      }),
      railMoved: Float64Array.from(bendings, ({ of }) => (displaced ? of(displaced) : 0)),
      railCompliance: Float64Array.from(bendings.flatMap((one) => underPress.map((u) => one.of(u)))),
    };
  }
}

function seatOf(
  spring: LayerSpring,
  fastening: Fastening,
  { force, compressionStiffness }: NonNullable<Fastening['clamping']>,
): DeckEnd['seats'][number] {
  const { x, stiffness } = spring;
  const share = stiffness / fastening.stiffness;
  const law = {
    stiffness,
    compressionStiffness: compressionStiffness * share,
    clampingForce: force * share,
  };
  return { x, law, pairs: pairsLeft(spring, fastening) };
}

/** Sagging moment at the start of an element from its end displacements, without the loads on it. */
function bendingAtStart(element: BeamElement) {
  return { freedoms: elementFreedoms(element), weights: Array.from(beamStiffness(element).subarray(4, 8)) };
}

/** A sum of displacements: its vector, and its value in a field of displacements. */
function functional(
  { freedoms, weights }: { readonly freedoms: readonly number[]; readonly weights: readonly number[] },
  size: number,
) {
  const vector = new Float64Array(size);
  freedoms.forEach((freedom, k) => {
    if (freedom >= 0) vector[freedom]! += weights[k]!;
  });
  const of = (displacement: Float64Array) =>
    freedoms.reduce((sum, freedom, k) => sum + (freedom >= 0 ? weights[k]! * displacement[freedom]! : 0), 0);
  return { vector, of };
}

function solved(factorisation: BandedFactorisation, load: Float64Array): Float64Array {
  const displacement = Float64Array.from(load);
  factorisation.solve(displacement);
  return displacement;
}
