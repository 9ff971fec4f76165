import { elementFreedoms } from './assembly.js';
import { shapeFunctions } from './beam-element.js';
import type { BeamElement } from './mesh.js';

/**
 * Deflection of an element at a distance from its start as its nodes tell it; held freedoms do not move.
 *
 * @param displacement of the whole mesh
 * @param shape room for the four shape functions at the place
 */
export function deflectionWithin(
  element: BeamElement,
  distance: number,
  displacement: Float64Array,
  shape: Float64Array,
): number {
  shapeFunctions(element, distance, shape);
  const freedoms = elementFreedoms(element);
  let sum = 0;
  for (let i = 0; i < 4; i++) sum += freedoms[i]! < 0 ? 0 : shape[i]! * displacement[freedoms[i]!]!;
  return sum;
}
