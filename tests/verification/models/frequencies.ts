import { assembleSystem } from '../../../solver/mesh/assembly.js';
import { buildMesh } from '../../../solver/mesh/mesh.js';
import { solveModes } from '../../../solver/modes/eigen.js';
import type { Viaduct } from '../../../solver/viaduct/model.js';

/** Natural frequencies in Hz up to `highest` Hz, on the mesh that `meshedFor` Hz asks for. */
export function frequenciesOf(
  viaduct: Viaduct,
  highest: number,
  meshedFor = highest,
  refinement = 1,
): number[] {
  const mesh = buildMesh(viaduct, { highestFrequency: meshedFor, refinement });
  const { stiffness, mass } = assembleSystem(mesh);
  const { angularFrequencies } = solveModes(stiffness, mass, 2 * Math.PI * highest);
  return Array.from(angularFrequencies, (w) => w / (2 * Math.PI));
}

/** Hz of a uniform beam with the given wave number, 1/m. */
export function beamFrequencyAt(
  wave: number,
  { massPerLength, flexuralRigidity }: { readonly massPerLength: number; readonly flexuralRigidity: number },
): number {
  return (wave * wave * Math.sqrt(flexuralRigidity / massPerLength)) / (2 * Math.PI);
}
