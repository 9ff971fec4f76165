import { elementFreedoms } from './assembly.js';
import type { BandedFactorisation } from './banded-factorisation.js';
import { shapeFunctions } from './beam-element.js';
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
  /** Deck element under each sample; -1 with a track. */
  readonly deckElement: Int32Array;
}

/** Samples no further apart than `step`; the last one stands on the far end. */
export function buildLoadedLine(mesh: Mesh, step: number): LoadedLine {
  const onDeck = mesh.rail.length === 0;
  const elements = onDeck ? mesh.deck : mesh.rail;
  const last = elements[elements.length - 1]!;
  const from = elements[0]!.x;
  const length = last.x + last.length - from;
  const count = Math.ceil(length / step - 1e-9) + 1;
  const exactStep = length / (count - 1);
  const freedoms = new Int32Array(4 * count);
  const weights = new Float64Array(4 * count);
  const deckElement = new Int32Array(count).fill(-1);
  const shape = new Float64Array(4);
  let index = 0;
  for (let k = 0; k < count; k++) {
    const x = from + k * exactStep;
    while (index + 1 < elements.length && x >= elements[index + 1]!.x) index++;
    const element: BeamElement = elements[index]!;
    shapeFunctions(element, Math.min(x - element.x, element.length), shape);
    freedoms.set(elementFreedoms(element), 4 * k);
    weights.set(shape, 4 * k);
    if (onDeck) deckElement[k] = index;
  }
  return { from, step: exactStep, count, freedoms, weights, deckElement };
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
 */
export function influenceLine(
  row: ResponseRow,
  factorisation: BandedFactorisation,
  line: LoadedLine,
): Float64Array {
  const displacement = new Float64Array(factorisation.size);
  row.freedoms.forEach((freedom, k) => {
    displacement[freedom]! += row.stiffness[k]!;
  });
  factorisation.solve(displacement);
  const samples = sampleAlongLine(line, displacement);
  for (const { element, shape, factor } of row.direct) {
    for (let k = 0; k < line.count; k++) {
      if (line.deckElement[k] === element) samples[k]! += factor * line.weights[4 * k + shape]!;
    }
  }
  return samples;
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
