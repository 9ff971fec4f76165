import { elementFreedoms } from '../mesh/assembly.js';
import { shapeFunctions } from '../mesh/beam-element.js';
import type { BeamElement, Mesh } from '../mesh/mesh.js';
import { linearBetween } from './linear-interpolation.js';

/** The line the wheels run on, sampled at equal steps: rail over deck and approaches, or the deck itself without a track. */
export interface LoadedLine {
  /** x of sample 0. */
  readonly from: number;
  readonly step: number;
  readonly count: number;
  /** Degrees of freedom (-1 held) and shape function values per sample, `shapes` of them. */
  readonly freedoms: Int32Array;
  readonly weights: Float64Array;
  /** 4: deflection and rotation of two nodes; 6: their rotations about x as well, on a deck that is loaded beside its axis. */
  readonly shapes: 4 | 6;
  /** Index of the track. */
  readonly track: number;
  /** Distance of the wheels from the axis of a deck that they run on themselves; 0 with a track. */
  readonly eccentricity: number;
  /** Deck element under each sample; -1 with a track and off the deck. */
  readonly deckElement: Int32Array;
  /** The deck's elements where wheels run on the deck itself; empty with a track. */
  readonly deck: readonly BeamElement[];
  /** The rail's elements, and which of them is under each sample; empty without a track. */
  readonly rail: readonly BeamElement[];
  readonly railElement: Int32Array;
  /** Elements of it that begin where no other ends, and how many there are after the last: a deck ends before each of them. */
  readonly deckEnds: readonly number[];
}

/**
 * Samples no further apart than `step`, one on either end. Without a track one more stands a step beyond either end of the deck,
 * where a load does nothing (but see heldInfluence).
 *
 * With a track, on the outer half of the approaches, a wheel comes onto the line, and leaves it, gradually: a load that appeared
 * at once at the end of the modelled track would ring the track on its bedding, which real track, going on for ever, does not do.
 */
export function buildLoadedLine(mesh: Mesh, step: number, place: LinePlace = onAxis): LoadedLine {
  const onDeck = mesh.tracks.length === 0;
  const elements = onDeck ? mesh.deck : mesh.tracks[place.track]!.rail;
  const eccentricity = onDeck && mesh.torsion.length > 0 ? place.eccentricity : 0;
  const shapes = eccentricity === 0 ? 4 : 6;
  const last = elements[elements.length - 1]!;
  const start = elements[0]!.x;
  const length = last.x + last.length - start;
  const steps = Math.ceil(length / step - 1e-9);
  const exactStep = length / steps;
  const beyond = onDeck ? 1 : 0;
  const from = start - beyond * exactStep;
  const count = steps + 1 + 2 * beyond;
  const freedoms = new Int32Array(shapes * count);
  const weights = new Float64Array(shapes * count);
  const deckElement = new Int32Array(count).fill(-1);
  const railElement = new Int32Array(onDeck ? 0 : count);
  const shape = new Float64Array(4);
  let index = 0;
  for (let k = beyond; k < count - beyond; k++) {
    const x = start + (k - beyond) * exactStep;
    while (index + 1 < elements.length && x >= elements[index + 1]!.x) index++;
    const element: BeamElement = elements[index]!;
    shapeFunctions(element, Math.min(x - element.x, element.length), shape);
    freedoms.set(elementFreedoms(element), shapes * k);
    const inside = Math.min(x - start, start + length - x);
    const share = onDeck ? 1 : shareOnTrack(inside, mesh.grid.approach);
    for (let j = 0; j < 4; j++) weights[shapes * k + j] = share * shape[j]!;
    (onDeck ? deckElement : railElement)[k] = index;
    if (shapes === 4) continue;
    const along = Math.min((x - element.x) / element.length, 1);
    freedoms.set([element.start.twist, element.end.twist], shapes * k + 4);
    weights.set([eccentricity * (1 - along), eccentricity * along], shapes * k + 4);
  }
  const [deck, rail] = onDeck ? [mesh.deck, []] : [[], elements];
  const deckEnds = [...deck.keys(), ...(onDeck ? [deck.length] : [])].filter(
    (index) => deck[index - 1]?.end !== deck[index]?.start,
  );
  const { track } = place;
  return {
    ...{ from, step: exactStep, count, freedoms, weights, shapes, track, eccentricity },
    ...{ deckElement, deck, deckEnds, rail, railElement },
  };
}

/** Which track wheels run on, and where it lies; the first one unless given. */
export interface LinePlace {
  readonly track: number;
  readonly eccentricity: number;
}

const onAxis: LinePlace = { track: 0, eccentricity: 0 };

/**
 * Share of a wheel's load that the modelled track takes, a distance from its free end: from 0 there to 1 in the middle of the approach, with
 * no jump in the first two derivatives.
 */
export function shareOnTrack(fromFreeEnd: number, approach: number): number {
  const t = (2 * fromFreeEnd) / approach;
  return t >= 1 ? 1 : t <= 0 ? 0 : t * t * t * (10 + t * (6 * t - 15));
}

/** Values of a displacement field under the wheels at every sample. */
export function sampleAlongLine(line: LoadedLine, displacement: Float64Array): Float64Array {
  const samples = new Float64Array(line.count);
  sampleMoved(line, displacement, { first: 0, last: displacement.length - 1 }, samples);
  return samples;
}

/** First and last degree of freedom that moves. */
export interface MovedFreedoms {
  readonly first: number;
  readonly last: number;
}

/** The same into `samples`, all zeros, where only some degrees of freedom move. */
export function sampleMoved(
  line: LoadedLine,
  displacement: Float64Array,
  moved: MovedFreedoms,
  samples: Float64Array,
): void {
  const { shapes } = line;
  for (let k = firstMoved(line, moved.first); k < line.count; k++) {
    let sum = 0;
    let nearest = displacement.length;
    for (let j = shapes * k; j < shapes * (k + 1); j++) {
      const freedom = line.freedoms[j]!;
      if (freedom < 0) continue;
      nearest = Math.min(nearest, freedom);
      sum += line.weights[j]! * displacement[freedom]!;
    }
    samples[k] = sum;
    // Degrees of freedom are numbered along the line.
    if (nearest > moved.last && nearest < displacement.length) break;
  }
}

/** First sample that a degree of freedom from `first` on can move, or one before it: numbers ascend along the line. */
function firstMoved({ freedoms, shapes, count }: LoadedLine, first: number): number {
  let from = 0;
  let to = count - 1;
  while (from < to) {
    const middle = (from + to) >> 1;
    let furthest = -1;
    for (let j = shapes * middle; j < shapes * (middle + 1); j++) furthest = Math.max(furthest, freedoms[j]!);
    if (furthest < first) from = middle + 1;
    else to = middle;
  }
  return from;
}

/** Samples as a function of x, linear in between and constant beyond the line's ends. */
export function alongLine({ from, step, count }: LoadedLine, samples: Float64Array): (x: number) => number {
  return (x) => linearBetween(samples, Math.min(Math.max((x - from) / step, 0), count - 1));
}
