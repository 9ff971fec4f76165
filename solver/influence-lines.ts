import { elementFreedoms } from './assembly.js';
import type { BandedFactorisation } from './banded-factorisation.js';
import { shapeFunctions } from './beam-element.js';
import { type InfluenceJump, type InfluenceLine, settleJumps } from './jumps/influence-jumps.js';
import { trimmed } from './line-samples.js';
import type { BeamElement, Mesh } from './mesh.js';
import type { Node } from './mesh-nodes.js';
import type { ResponseRow } from './response-rows.js';

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
    const share = onDeck ? 1 : smoothStep((2 * inside) / mesh.grid.approach);
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

/** Share of its peak below which the line under a row's vector is not solved on: well below what `trimmed` leaves out. */
const negligible = 1e-11;

const onAxis: LinePlace = { track: 0, eccentricity: 0 };

/** From 0 at 0 to 1 at 1 with no jump in the first two derivatives. */
function smoothStep(t: number): number {
  return t >= 1 ? 1 : t <= 0 ? 0 : t * t * t * (10 + t * (6 * t - 15));
}

/** Values of a displacement field under the wheels at every sample. */
export function sampleAlongLine(line: LoadedLine, displacement: Float64Array): Float64Array {
  const samples = new Float64Array(line.count);
  sampleMoved(line, displacement, { first: 0, last: displacement.length - 1 }, samples);
  return samples;
}

/** First and last degree of freedom that moves. */
interface Moved {
  readonly first: number;
  readonly last: number;
}

function sampleMoved(
  line: LoadedLine,
  displacement: Float64Array,
  moved: Moved,
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

/** Samples as a function of x, linear in between and constant beyond the line's ends. */
export function alongLine({ from, step, count }: LoadedLine, samples: Float64Array): (x: number) => number {
  return (x) => {
    const position = Math.min(Math.max((x - from) / step, 0), count - 1);
    const index = Math.min(Math.floor(position), count - 2);
    const value = samples[index]!;
    return value + (samples[index + 1]! - value) * (position - index);
  };
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

/** Finds static influence lines on one loaded line, one after the other in the same memory. */
export class InfluenceLines {
  private readonly displacement: Float64Array;
  private readonly samples: Float64Array;

  constructor(
    private readonly factorisation: BandedFactorisation,
    private readonly line: LoadedLine,
  ) {
    this.displacement = new Float64Array(factorisation.size);
    this.samples = new Float64Array(line.count);
  }

  /**
   * Static influence line of a response: its value for a unit load at each sample of the loaded line. By Maxwell's theorem it
   * is the deflection of the loaded line under the row's own vector, plus the row's direct part.
   *
   * Shears and reactions jump as a load passes a deck end or the section. Every place where the line may jump is listed, also where both
   * sides turn out the same.
   */
  of(row: Pick<ResponseRow, 'freedoms' | 'stiffness' | 'direct'>): InfluenceLine {
    const { factorisation, line, displacement, samples } = this;
    samples.fill(0);
    const moved = deflectionUnder(row, factorisation, displacement);
    sampleMoved(line, displacement, moved, samples);
    addDirectParts(row, line, samples);
    const jumps = line.deck.length > 0 ? jumpsOf(row, displacement, line) : peaksOf(row, displacement, line);
    settleJumps(samples, jumps);
    displacement.fill(0, moved.first, moved.last + 1);
    return { ...trimmed(samples), jumps };
  }
}

/** Adds to `displacement`, all zeros, what the row's own vector as a load does. */
function deflectionUnder(
  row: Pick<ResponseRow, 'freedoms' | 'stiffness'>,
  factorisation: BandedFactorisation,
  displacement: Float64Array,
): Moved {
  let first = factorisation.size - 1;
  let last = 0;
  for (let k = 0; k < row.freedoms.length; k++) {
    const freedom = row.freedoms[k]!;
    displacement[freedom]! += row.stiffness[k]!;
    first = Math.min(first, freedom);
    last = Math.max(last, freedom);
  }
  return factorisation.solveLocally(displacement, first, last, negligible);
}

/** What a load on an element itself does through its consistent nodal forces. */
function addDirectParts(
  { direct }: Pick<ResponseRow, 'direct'>,
  line: LoadedLine,
  samples: Float64Array,
): void {
  for (const { element, rail, shape, factor, at = 0 } of direct) {
    if (rail === undefined ? line.deck.length === 0 : rail !== line.track) continue;
    if (shape === 'bubble') {
      addBubble(line, element, at, factor, samples);
      continue;
    }
    if (shape >= line.shapes) continue;
    const under = rail === undefined ? line.deckElement : line.railElement;
    for (let k = 0; k < line.count; k++) {
      if (under[k] === element) samples[k]! += factor * line.weights[line.shapes * k + shape]!;
    }
  }
}

/** Where a moment of the rail peaks: under a wheel at its place, with a kink that samples would cut off. */
function peaksOf(
  { direct }: Pick<ResponseRow, 'direct'>,
  displacement: Float64Array,
  line: LoadedLine,
): InfluenceJump[] {
  return direct.flatMap(({ element, rail }) => {
    if (rail !== line.track) return [];
    const { x, length, end } = line.rail[element]!;
    const value = displacement[end.deflection]!;
    return [{ at: placeOf(x + length, line), before: value, beyond: value, kink: 0, peak: true }];
  });
}

/** A place on the line, in samples. */
function placeOf(x: number, { from, step }: LoadedLine): number {
  const position = (x - from) / step;
  const nearest = Math.round(position);
  return Math.abs(position - nearest) < 1e-6 ? nearest : position;
}

/** A torque inside an element turns what lies between its nodes by more than they tell: min(a, s) (l - max(a, s)) / l per unit of 1 / GJ. */
function addBubble(
  { deck, deckElement, eccentricity, from, step, count }: LoadedLine,
  element: number,
  at: number,
  factor: number,
  samples: Float64Array,
): void {
  const { x, length } = deck[element]!;
  for (let k = 0; k < count; k++) {
    if (deckElement[k] !== element) continue;
    const along = Math.min(Math.max(from + k * step - x, 0), length);
    const turned = (Math.min(at, along) * (length - Math.max(at, along))) / length;
    samples[k]! += factor * eccentricity * turned;
  }
}

/** The line on either side of what may be a jump: the ends of decks, and those of the elements that a load acts on directly. */
function jumpsOf(
  row: Pick<ResponseRow, 'direct'>,
  displacement: Float64Array,
  line: LoadedLine,
): InfluenceJump[] {
  const { deck, eccentricity } = line;
  const places = new Set(line.deckEnds);
  for (const { element } of row.direct) places.add(element).add(element + 1);
  const factorOf = (element: number, shape: number) =>
    row.direct.reduce(
      (sum, part) => sum + (part.element === element && part.shape === shape ? part.factor : 0),
      0,
    );
  const at = (freedom: number) => (freedom >= 0 ? displacement[freedom]! : 0);
  // A wheel on a node presses on it and turns it.
  const limit = (element: number, { deflection, twist }: Node, press: number, turn: number) =>
    at(deflection) +
    factorOf(element, press) +
    (eccentricity === 0 ? 0 : eccentricity * (at(twist) + factorOf(element, turn)));
  return [...places].map((place) => {
    const left = deck[place - 1];
    const right = deck[place];
    const x = right ? right.x : left!.x + left!.length;
    return {
      at: placeOf(x, line),
      before: left ? limit(place - 1, left.end, 2, 5) : 0,
      beyond: right ? limit(place, right.start, 0, 4) : 0,
      kink: 0,
    };
  });
}

/** The row's value in a mode: stiffness part less w^2 times the inertia part, so that nodal equilibrium holds exactly. */
export function modalValue(row: ResponseRow, shape: Float64Array, angularFrequency: number): number {
  const square = angularFrequency * angularFrequency;
  let sum = 0;
  for (let k = 0; k < row.freedoms.length; k++) {
    sum += (row.stiffness[k]! - square * row.inertia[k]!) * shape[row.freedoms[k]!]!;
  }
  return sum;
}
