import { condenseFrame, type PlaneFrame } from '../../solver/mesh/plane-frame.js';
import type { Substructure } from '../../solver/viaduct/model.js';
import type { Scenario } from '../scenario.js';

type Frame = NonNullable<NonNullable<Scenario['supports_flexibility']>['frame']>;

/** What supports stand on together; null where each has ground of its own. */
export function substructureOf({ supports_flexibility: given }: Scenario): Substructure | null {
  if (given === undefined) return null;
  if (given.frame !== undefined) {
    const supports = given.frame.nodes.flatMap(({ support }) => support ?? []);
    return { supports, ...condenseFrame(planeFrameOf(given.frame)) };
  }
  const supports = given.supports ?? [];
  const matrix = given.flexibility_m_per_N ?? [];
  const count = supports.length;
  const flexibility = new Float64Array(count * count);
  // Validation lets the two halves differ by rounding only.
  for (let i = 0; i < count; i++)
    for (let j = 0; j < count; j++) flexibility[i * count + j] = (matrix[i]![j]! + matrix[j]![i]!) / 2;
  return { supports, flexibility, mass: null };
}

/** The frame by indices of its nodes. Bars must name nodes that exist. */
export function planeFrameOf({ nodes, bars }: Frame): PlaneFrame {
  const indexOf = (id: string) => nodes.findIndex((node) => node.id === id);
  return {
    nodes: nodes.map(({ x_m, z_m, held }) => ({ x: x_m, z: z_m, held: held ?? 'free' })),
    bars: bars.map((bar) => ({
      from: indexOf(bar.from),
      to: indexOf(bar.to),
      axialRigidity: bar.axial_rigidity_N,
      flexuralRigidity: bar.flexural_rigidity_N_m2 ?? null,
      massPerLength: bar.mass_kg_per_m,
    })),
    points: nodes.flatMap(({ support }, index) => (support === undefined ? [] : [index])),
  };
}
