import { BandedMatrix } from '../matrices/banded-matrix.js';
import { beamMass, beamStiffness } from './beam-element.js';
import type { BeamElement, LayerSpring, Mesh } from './mesh.js';
import type { PointSpring } from './mesh-nodes.js';
import { torsionInertia, torsionStiffness } from './torsion-element.js';

/** Banded matrices of the mesh. */
export interface BandedSystem {
  readonly stiffness: BandedMatrix;
  readonly mass: BandedMatrix;
}

/** Assembles stiffness and consistent mass of all layers, their springs, the supports and what they stand on. */
export function assembleSystem(mesh: Mesh): BandedSystem {
  const stiffness = new BandedMatrix(mesh.size, mesh.halfBandwidth, mesh.border);
  const mass = new BandedMatrix(mesh.size, mesh.halfBandwidth, mesh.border);
  for (const layer of [mesh.deck, mesh.slab, mesh.rail]) {
    for (const element of layer) {
      scatter(stiffness, elementFreedoms(element), beamStiffness(element));
      scatter(mass, elementFreedoms(element), beamMass(element));
    }
  }
  for (const element of mesh.torsion) {
    const freedoms = [element.start.twist, element.end.twist];
    scatter(stiffness, freedoms, torsionStiffness(element));
    scatter(mass, freedoms, torsionInertia(element));
  }
  for (const spring of mesh.springs) {
    const { freedoms, weights } = stretchOf(spring);
    addProduct(stiffness, freedoms, weights, spring.stiffness);
  }
  for (const support of mesh.supports) {
    stiffness.add(support.deflection, support.deflection, support.stiffness);
    stiffness.add(support.twist, support.twist, support.twistStiffness);
    for (const bearing of support.oneSided)
      addProduct(stiffness, bearing.freedoms, bearing.weights, bearing.stiffness);
  }
  addCoupling(mesh, { stiffness, mass });
  return { stiffness, mass };
}

/** Stretch of a spring between layers as a sum of displacements; held freedoms are -1. */
export function stretchOf({
  upper,
  lower,
  eccentricity,
}: LayerSpring): Pick<PointSpring, 'freedoms' | 'weights'> {
  if (!lower) return { freedoms: [upper.deflection], weights: [1] };
  if (eccentricity === 0) return { freedoms: [upper.deflection, lower.deflection], weights: [1, -1] };
  return {
    freedoms: [upper.deflection, lower.deflection, lower.twist],
    weights: [1, -1, -eccentricity],
  };
}

/** The element's degrees of freedom in the order of its matrices. */
export function elementFreedoms(element: BeamElement): readonly [number, number, number, number] {
  return [element.start.deflection, element.start.rotation, element.end.deflection, element.end.rotation];
}

function scatter(matrix: BandedMatrix, freedoms: readonly number[], values: Float64Array): void {
  const count = freedoms.length;
  for (let i = 0; i < count; i++)
    for (let j = 0; j <= i; j++) matrix.add(freedoms[i]!, freedoms[j]!, values[count * i + j]!);
}

/** factor a a^T on the freedoms of a sum of displacements. */
function addProduct(
  matrix: BandedMatrix,
  freedoms: readonly number[],
  weights: readonly number[],
  factor: number,
): void {
  for (let i = 0; i < freedoms.length; i++)
    for (let j = 0; j <= i; j++) matrix.add(freedoms[i]!, freedoms[j]!, factor * weights[i]! * weights[j]!);
}

function addCoupling({ coupling }: Mesh, { stiffness, mass }: BandedSystem): void {
  if (!coupling) return;
  const { heads } = coupling;
  const couple = (matrix: BandedMatrix, values: Float64Array) => {
    const freedoms = heads.flatMap((head) => head.freedoms);
    const owners = heads.flatMap((head, index) => head.freedoms.map(() => index));
    const weights = heads.flatMap((head) => head.weights);
    for (let i = 0; i < freedoms.length; i++)
      for (let j = 0; j <= i; j++)
        matrix.add(
          freedoms[i]!,
          freedoms[j]!,
          weights[i]! * weights[j]! * values[owners[i]! * heads.length + owners[j]!]!,
        );
  };
  couple(stiffness, coupling.stiffness);
  if (coupling.mass) couple(mass, coupling.mass);
}
