import { elementFreedoms } from './assembly.js';
import type { BandedFactorisation } from './banded-factorisation.js';
import { shapeFunctions } from './beam-element.js';
import { type LineSamples, trimmed } from './line-samples.js';
import type { BeamElement, Mesh } from './mesh.js';
import type { ResponseRow } from './response-rows.js';

/** The line the wheels run on, sampled at equal steps: rail over deck and approaches, or the deck itself without a track. */
export interface LoadedLine {
  /** x of sample 0. */
  readonly from: number;
  readonly step: number;
  readonly count: number;
  /** Four degrees of freedom (-1 held) and shape function values per sample. */
  readonly freedoms: Int32Array;
  readonly weights: Float64Array;
  /** Deck element under each sample; -1 with a track and off the deck. */
  readonly deckElement: Int32Array;
  /** The deck's elements where wheels run on the deck itself; empty with a track. */
  readonly deck: readonly BeamElement[];
}

/**
 * Samples no further apart than `step`, one on either end. Without a track one more stands a step beyond either end of the deck,
 * where a load does nothing but hold a force that jumps as it enters or leaves (see influenceLine).
 *
 * With a track, on the outer half of the approaches, a wheel comes onto the line, and leaves it, gradually: a load that appeared
 * at once at the end of the modelled track would ring the track on its bedding, which real track, going on for ever, does not do.
 */
export function buildLoadedLine(mesh: Mesh, step: number): LoadedLine {
  const onDeck = mesh.rail.length === 0;
  const elements = onDeck ? mesh.deck : mesh.rail;
  const last = elements[elements.length - 1]!;
  const start = elements[0]!.x;
  const length = last.x + last.length - start;
  const steps = Math.ceil(length / step - 1e-9);
  const exactStep = length / steps;
  const beyond = onDeck ? 1 : 0;
  const from = start - beyond * exactStep;
  const count = steps + 1 + 2 * beyond;
  const freedoms = new Int32Array(4 * count);
  const weights = new Float64Array(4 * count);
  const deckElement = new Int32Array(count).fill(-1);
  const shape = new Float64Array(4);
  let index = 0;
  for (let k = beyond; k < count - beyond; k++) {
    const x = start + (k - beyond) * exactStep;
    while (index + 1 < elements.length && x >= elements[index + 1]!.x) index++;
    const element: BeamElement = elements[index]!;
    shapeFunctions(element, Math.min(x - element.x, element.length), shape);
    freedoms.set(elementFreedoms(element), 4 * k);
    const inside = Math.min(x - start, start + length - x);
    const share = onDeck ? 1 : smoothStep((2 * inside) / mesh.grid.approach);
    for (let j = 0; j < 4; j++) weights[4 * k + j] = share * shape[j]!;
    if (onDeck) deckElement[k] = index;
  }
  return { from, step: exactStep, count, freedoms, weights, deckElement, deck: onDeck ? mesh.deck : [] };
}

/** From 0 at 0 to 1 at 1 with no jump in the first two derivatives. */
function smoothStep(t: number): number {
  return t >= 1 ? 1 : t <= 0 ? 0 : t * t * t * (10 + t * (6 * t - 15));
}

/** Values of a displacement field under the wheels at every sample. */
export function sampleAlongLine(line: LoadedLine, displacement: Float64Array): Float64Array {
  const samples = new Float64Array(line.count);
  for (let k = 0; k < line.count; k++) {
    let sum = 0;
    for (let j = 4 * k; j < 4 * k + 4; j++) {
      const freedom = line.freedoms[j]!;
      if (freedom >= 0) sum += line.weights[j]! * displacement[freedom]!;
    }
    samples[k] = sum;
  }
  return samples;
}

/**
 * Static influence line of a response: its value for a unit load at each sample of the loaded line. By Maxwell's theorem it
 * is the deflection of the loaded line under the row's own vector, plus the row's direct part.
 *
 * Shears and reactions jump as a load passes a deck end or the section. The larger value at a jump is held for one sample beyond it,
 * so that axles between two samples never come out smaller than they are; they may by as much as they change within a step.
 */
export function influenceLine(
  row: ResponseRow,
  factorisation: BandedFactorisation,
  line: LoadedLine,
): LineSamples {
  const displacement = new Float64Array(factorisation.size);
  row.freedoms.forEach((freedom, k) => {
    displacement[freedom]! += row.stiffness[k]!;
  });
  factorisation.solve(displacement);
  const samples = sampleAlongLine(line, displacement);
  if (line.deck.length > 0) {
    addDirectParts(row, line, samples);
    holdJumps(row, displacement, line, samples);
  }
  return trimmed(samples);
}

/** What a load on an element itself does through its consistent nodal forces. */
function addDirectParts({ direct }: ResponseRow, line: LoadedLine, samples: Float64Array): void {
  for (const { element, shape, factor } of direct) {
    for (let k = 0; k < line.count; k++) {
      if (line.deckElement[k] === element) samples[k]! += factor * line.weights[4 * k + shape]!;
    }
  }
}

function holdJumps(
  row: ResponseRow,
  displacement: Float64Array,
  line: LoadedLine,
  samples: Float64Array,
): void {
  const own = new Set(row.direct.map(({ element }) => element));
  const hold = (node: number, x: number, jump: number, side: 1 | -1) => {
    if (jump === 0) return;
    const limit = jump + (node >= 0 ? displacement[node]! : 0);
    const position = (x - line.from) / line.step;
    const near = Math.round(position);
    // A sample on the node itself may belong to the element beyond the jump.
    const onNode = Math.abs(position - near) < 1e-6;
    const beyond = onNode ? near + side : side === 1 ? Math.ceil(position) : Math.floor(position);
    for (const k of onNode ? [near, beyond] : [beyond])
      if (Math.abs(limit) > Math.abs(samples[k]!)) samples[k] = limit;
  };
  const jumpOf = (element: number, shape: number) =>
    row.direct.reduce(
      (sum, part) => sum + (part.element === element && part.shape === shape ? part.factor : 0),
      0,
    );
  for (const element of own) {
    const { x, length, start, end } = line.deck[element]!;
    if (!own.has(element - 1)) hold(start.deflection, x, jumpOf(element, 0), -1);
    if (!own.has(element + 1)) hold(end.deflection, x + length, jumpOf(element, 2), 1);
  }
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
