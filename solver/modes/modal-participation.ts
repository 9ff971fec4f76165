import { largestSize } from '../lines/line-samples.js';
import { elementFreedoms } from '../mesh/assembly.js';
import { uniformLoad } from '../mesh/beam-element.js';
import { deflectionWithin } from '../mesh/deflection-within.js';
import type { BeamElement, Mesh } from '../mesh/mesh.js';
import type { Modes } from './eigen.js';

/** How much of the structure each mode sets in motion; one value per mode. */
export interface ModalParticipation {
  /** Effective modal mass under a uniform vertical acceleration as a share of the whole mass of deck, slab and rail. */
  readonly effectiveMassShares: Float64Array;
  /** Modal mass, kg, of the shape scaled to 1 at the largest deflection of the deck's axis; Infinity where that stays at rest. */
  readonly modalMasses: Float64Array;
}

/**
 * Effective modal mass (integral of m phi)^2 / (integral of m phi^2) and modal mass. The shares of all modes add up to 1,
 * less the mass that goes straight into rigid supports. R. W. Clough and J. Penzien, Dynamics of Structures (2nd ed. 1993),
 * sections 12-3 and 26-2 (mem).
 *
 * @param modes mass-orthonormal
 */
export function modalParticipation(mesh: Mesh, modes: Modes): ModalParticipation {
  const layers = [mesh.deck, mesh.slab, mesh.rail];
  let total = 0;
  for (const layer of layers) for (const { massPerLength, length } of layer) total += massPerLength * length;
  const effectiveMassShares = new Float64Array(modes.shapes.length);
  const modalMasses = new Float64Array(modes.shapes.length);
  modes.shapes.forEach((shape, mode) => {
    let excited = 0;
    for (const layer of layers) for (const element of layer) excited += massTimesShape(element, shape);
    effectiveMassShares[mode] = (excited * excited) / total;
    const most = largestDeflection(mesh.deck, shape);
    modalMasses[mode] = most > roundOff * largestSize(shape) ? 1 / most ** 2 : Number.POSITIVE_INFINITY;
  });
  return { effectiveMassShares, modalMasses };
}

/** Share of a shape's largest entry that is nothing. */
const roundOff = 1e-9;

/** Integral of m phi over an element. */
function massTimesShape(element: BeamElement, shape: Float64Array): number {
  const loads = uniformLoad(element, element.massPerLength);
  const freedoms = elementFreedoms(element);
  let sum = 0;
  for (let i = 0; i < 4; i++) sum += freedoms[i]! < 0 ? 0 : loads[i]! * shape[freedoms[i]!]!;
  return sum;
}

const pointsPerElement = 4;

/** Largest deflection of the deck, at nodes and inside the elements. */
function largestDeflection(deck: readonly BeamElement[], shape: Float64Array): number {
  const values = new Float64Array(4);
  let largest = 0;
  for (const element of deck)
    for (let point = 0; point <= pointsPerElement; point++) {
      const deflection = deflectionWithin(
        element,
        (element.length * point) / pointsPerElement,
        shape,
        values,
      );
      largest = Math.max(largest, Math.abs(deflection));
    }
  return largest;
}
