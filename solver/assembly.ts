import { BandedMatrix } from './banded-matrix.js';
import { beamMass, beamStiffness } from './beam-element.js';
import type { BeamElement, Mesh } from './mesh.js';

/** Banded matrices of the mesh. */
export interface BandedSystem {
  readonly stiffness: BandedMatrix;
  readonly mass: BandedMatrix;
}

/** Assembles stiffness and consistent mass of all layers, their springs and the supports. */
export function assembleSystem(mesh: Mesh): BandedSystem {
  const stiffness = new BandedMatrix(mesh.size, mesh.halfBandwidth);
  const mass = new BandedMatrix(mesh.size, mesh.halfBandwidth);
  for (const layer of [mesh.deck, mesh.slab, mesh.rail]) {
    for (const element of layer) {
      scatter(stiffness, element, beamStiffness(element));
      scatter(mass, element, beamMass(element));
    }
  }
  for (const spring of mesh.springs) {
    const upper = spring.upper.deflection;
    stiffness.add(upper, upper, spring.stiffness);
    if (!spring.lower) continue;
    const lower = spring.lower.deflection;
    stiffness.add(lower, lower, spring.stiffness);
    stiffness.add(upper, lower, -spring.stiffness);
  }
  for (const { deflection, stiffness: spring } of mesh.supports)
    stiffness.add(deflection, deflection, spring);
  return { stiffness, mass };
}

/** The element's degrees of freedom in the order of its matrices. */
export function elementFreedoms(element: BeamElement): readonly [number, number, number, number] {
  return [element.start.deflection, element.start.rotation, element.end.deflection, element.end.rotation];
}

function scatter(matrix: BandedMatrix, element: BeamElement, values: Float64Array): void {
  const freedoms = elementFreedoms(element);
  for (let i = 0; i < 4; i++)
    for (let j = 0; j <= i; j++) matrix.add(freedoms[i]!, freedoms[j]!, values[4 * i + j]!);
}
