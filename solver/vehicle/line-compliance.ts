import { modeStride } from '../arithmetic/contact-modes.js';
import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import { BandedFactorisation } from '../matrices/banded-factorisation.js';
import { inverseWithinBand } from '../matrices/banded-inverse.js';
import type { BandedMatrix } from '../matrices/banded-matrix.js';
import { assembleSystem, elementFreedoms } from '../mesh/assembly.js';
import { shapeFunctions } from '../mesh/beam-element.js';
import type { BeamElement } from '../mesh/mesh.js';
import type { Consist } from './consist.js';
import type { LineModes } from './line-modes.js';
import { shareOnLine } from './share-on-line.js';
import { wheelPairs } from './wheel-pairs.js';

/** How far a wheel sinks into the line under a unit load beyond what the modes show: under its own, and under a wheel's near it. */
export interface LineCompliance {
  /** Per sample of the loaded line, m/N: static deflection under a unit load less the modes' share of it. */
  readonly residual: Float64Array;
  /** Per sample, 1/kg: sum over the modes of phi^2, the inverse of the mass that a blow there sets in motion. */
  readonly inverseMass: Float64Array;
  /** On the ground before and after the line, m/N: that of the approach's track; 0 without a track. */
  readonly ground: number;
  /** For every distance of `wheelPairs`; none without a track. */
  readonly between: readonly ComplianceBetween[];
  /** s: dashpots over springs of fastening and bedding, the lower of the two; the sinking follows the force with this lag. */
  readonly relaxation: number;
}

/** What a unit load does a distance away from itself. */
export interface ComplianceBetween {
  /** m */
  readonly distance: number;
  /** Per sample of the loaded line, m/N: at the sample under a load the distance before it, and the other way round. */
  readonly residual: Float64Array;
  /** On the ground, m/N. */
  readonly ground: number;
}

/**
 * Residual flexibility under the wheel, sum over the modes left out of phi^2 / w^2: the rail between its seats, fastening, slab and
 * bedding, and the deck's own higher modes. R. R. Craig, Structural Dynamics (1981), section 15.5 (mem). The free end of the
 * modelled track is given the compliance of the track in the middle of the approach, since real track goes on (`shareOnLine`).
 */
export function lineCompliance(model: DynamicModel, modes: LineModes, consist: Consist): LineCompliance {
  const { mesh, line } = model;
  const onDeck = mesh.rail.length === 0;
  const elements = onDeck ? mesh.deck : mesh.tracks[line.track]!.rail;
  // Waves of the deck are far longer than a bogie: what it yields beyond the modes is left to each wheel alone.
  const distances = onDeck ? [] : wheelPairs(consist).distances;
  const halfBandwidth = Math.max(mesh.halfBandwidth, widthOver(elements, Math.max(0, ...distances)));
  const inverse = inverseWithinBand(
    new BandedFactorisation(assembleSystem({ ...mesh, halfBandwidth }).stiffness),
  );
  const places = placesOf(
    elements,
    Float64Array.from({ length: line.count }, (_, k) => line.from + k * line.step),
  );
  const residual = Float64Array.from(places, (place) => flexibilityBetween(place, place, inverse));
  const inverseMass = new Float64Array(line.count);
  const { approach } = mesh.grid;
  const ground = onDeck ? 0 : middleOfApproach(residual, approach / line.step);
  const here = new Float64Array(modeStride(modes.angularFrequencies.length));
  const there = new Float64Array(modeStride(modes.angularFrequencies.length));
  const shares = Float64Array.from({ length: line.count }, (_, k) => shareOnLine(model, k));
  for (let k = 0; k < line.count; k++) {
    const share = shares[k]!;
    residual[k] = ground + (residual[k]! - ground) * share;
    modes.shapes.write(k, here);
    for (const value of here) inverseMass[k]! += value * value;
    residual[k] = Math.max(0, residual[k]! - flexibilityInModes(modes, here, here));
  }
  return {
    residual,
    inverseMass,
    ground,
    between: distances.map(between),
    relaxation: relaxationOf(model),
  };

  function between(distance: number): ComplianceBetween {
    const behind = distance / line.step;
    const first = Math.ceil(behind);
    const others = placesOf(
      elements,
      Float64Array.from(
        { length: Math.max(0, line.count - first) },
        (_, k) => line.from + (first + k) * line.step - distance,
      ),
    );
    const whole = new Float64Array(line.count);
    for (let k = first; k < line.count; k++)
      whole[k] = flexibilityBetween(places[k]!, others[k - first]!, inverse);
    const level = middleOfApproach(whole, approach / line.step);
    const left = new Float64Array(line.count).fill(level);
    for (let k = first; k < line.count; k++) {
      const share = shares[k]! * shareOnLine(model, k - behind);
      modes.shapes.write(k, here);
      modes.shapes.write(k - behind, there);
      left[k] = level + share * (whole[k]! - level) - flexibilityInModes(modes, here, there);
    }
    return { distance, residual: left, ground: level };
  }
}

/** m/N: what modes show of the deflection at one place under a unit load at another. */
function flexibilityInModes(
  { angularFrequencies }: LineModes,
  here: Float64Array,
  there: Float64Array,
): number {
  let shown = 0;
  for (let mode = 0; mode < angularFrequencies.length; mode++)
    shown += (here[mode]! * there[mode]!) / angularFrequencies[mode]! ** 2;
  return shown;
}

/** A place on a beam: its element and the shape functions there. */
interface Place {
  readonly element: BeamElement;
  /** m from the start of the element. */
  readonly within: number;
  readonly freedoms: readonly number[];
  readonly shape: Float64Array;
}

/** @param x ascending */
function placesOf(elements: readonly BeamElement[], x: Float64Array): readonly Place[] {
  let index = 0;
  return Array.from(x, (at) => {
    while (index + 1 < elements.length && at >= elements[index + 1]!.x) index++;
    const element = elements[index]!;
    const within = Math.min(Math.max(at - element.x, 0), element.length);
    const shape = new Float64Array(4);
    shapeFunctions(element, within, shape);
    return { element, within, freedoms: elementFreedoms(element), shape };
  });
}

/** Half bandwidth that holds every two freedoms of elements within a distance. */
function widthOver(elements: readonly BeamElement[], distance: number): number {
  let width = 0;
  let back = 0;
  for (const element of elements) {
    while (elements[back]!.x + elements[back]!.length < element.x - distance - 1e-9) back++;
    const least = Math.min(...elementFreedoms(elements[back]!));
    width = Math.max(width, Math.max(...elementFreedoms(element)) - least);
  }
  return width;
}

/** Deflection at one place under a unit load at another: nodes and, within the same element, the beam fixed at both ends. */
function flexibilityBetween(at: Place, load: Place, inverse: BandedMatrix): number {
  let sum = at.element === load.element ? flexibilityWithin(at.element, at.within, load.within) : 0;
  for (let i = 0; i < 4; i++) {
    for (let j = 0; j < 4; j++) {
      if (at.freedoms[i]! < 0 || load.freedoms[j]! < 0) continue;
      sum += at.shape[i]! * load.shape[j]! * inverse.get(at.freedoms[i]!, load.freedoms[j]!);
    }
  }
  return sum;
}

/** Of the beam fixed at both ends; shear is added as of a string, which it is at the load itself. */
function flexibilityWithin(
  { length, flexuralRigidity, shearRigidity }: BeamElement,
  one: number,
  other: number,
): number {
  const x = Math.min(one, other);
  const a = Math.max(one, other);
  const b = length - a;
  const bending = ((b * x) ** 2 * (3 * a * length - x * (3 * a + b))) / (6 * flexuralRigidity * length ** 3);
  return bending + (shearRigidity === null ? 0 : (x * b) / (shearRigidity * length));
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
