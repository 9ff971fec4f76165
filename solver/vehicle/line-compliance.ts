import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import { BandedFactorisation } from '../matrices/banded-factorisation.js';
import { inverseWithinBand } from '../matrices/banded-inverse.js';
import type { BandedMatrix } from '../matrices/banded-matrix.js';
import { assembleSystem, elementFreedoms } from '../mesh/assembly.js';
import { shapeFunctions } from '../mesh/beam-element.js';
import type { BeamElement } from '../mesh/mesh.js';
import { shareOnLine } from './share-on-line.js';

/** How far a wheel sinks into the line under its own unit load beyond what the modes show. */
export interface LineCompliance {
  /** Per sample of the loaded line, m/N: static deflection under a unit load less the modes' share of it. */
  readonly residual: Float64Array;
  /** On the ground before and after the line, m/N: that of the approach's track; 0 without a track. */
  readonly ground: number;
  /** s: dashpots over springs of fastening and bedding, the lower of the two; the sinking follows the force with this lag. */
  readonly relaxation: number;
}

/**
 * Residual flexibility under the wheel, sum over the modes left out of phi^2 / w^2: the rail between its seats, fastening, slab and
 * bedding, and the deck's own higher modes. R. R. Craig, Structural Dynamics (1981), section 15.5 (mem). The free end of the
 * modelled track is given the compliance of the track in the middle of the approach, since real track goes on (`shareOnLine`).
 */
export function lineCompliance(model: DynamicModel): LineCompliance {
  const { mesh, line, modes, modeLines } = model;
  const inverse = inverseWithinBand(new BandedFactorisation(assembleSystem(mesh).stiffness));
  const onDeck = mesh.rail.length === 0;
  const elements = onDeck ? mesh.deck : mesh.rail;
  const shape = new Float64Array(4);
  const residual = new Float64Array(line.count);
  let index = 0;
  for (let k = 0; k < line.count; k++) {
    const x = line.from + k * line.step;
    while (index + 1 < elements.length && x >= elements[index + 1]!.x) index++;
    residual[k] = flexibilityAt(elements[index]!, x, inverse, shape);
  }
  const { approach } = mesh.grid;
  const ground = onDeck ? 0 : middleOfApproach(residual, approach / line.step);
  for (let k = 0; k < line.count; k++) {
    const share = shareOnLine(model, k);
    residual[k] = ground + (residual[k]! - ground) * share;
    let shown = 0;
    modes.angularFrequencies.forEach((omega, mode) => {
      shown += ((share * modeLines[mode]![k]!) / omega) ** 2;
    });
    residual[k] = Math.max(0, residual[k]! - shown);
  }
  return { residual, ground, relaxation: relaxationOf(model) };
}

/** Deflection under a unit load at x: nodes and, within the element, the beam fixed at both ends. */
function flexibilityAt(element: BeamElement, x: number, inverse: BandedMatrix, shape: Float64Array): number {
  const a = Math.min(Math.max(x - element.x, 0), element.length);
  const b = element.length - a;
  shapeFunctions(element, a, shape);
  const freedoms = elementFreedoms(element);
  let sum = (a * b) ** 3 / (3 * element.flexuralRigidity * element.length ** 3);
  if (element.shearRigidity !== null) sum += (a * b) / (element.shearRigidity * element.length);
  for (let i = 0; i < 4; i++) {
    for (let j = 0; j < 4; j++) {
      if (freedoms[i]! < 0 || freedoms[j]! < 0) continue;
      sum += shape[i]! * shape[j]! * inverse.get(freedoms[i]!, freedoms[j]!);
    }
  }
  return sum;
}

/** A track without dashpots, or none at all, has no lag. */
function relaxationOf({ mesh }: DynamicModel): number {
  let least = Number.POSITIVE_INFINITY;
  for (const { stiffness, damping } of mesh.springs)
    if (stiffness > 0) least = Math.min(least, damping / stiffness);
  return Number.isFinite(least) ? least : 0;
}

/** Mean over the middle fifth of the approach: seats and bays alike. */
function middleOfApproach(flexibility: Float64Array, samples: number): number {
  const middle = flexibility.subarray(Math.floor(0.4 * samples), Math.ceil(0.6 * samples) + 1);
  return middle.reduce((sum, value) => sum + value, 0) / middle.length;
}
