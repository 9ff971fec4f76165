import { assembleSystem, elementFreedoms } from './assembly.js';
import { BandedFactorisation } from './banded-factorisation.js';
import { beamStiffness, shapeFunctions, uniformLoad } from './beam-element.js';
import { standingSides } from './bearings.js';
import { deckElementAt } from './deck-element-at.js';
import { ordinaryParts, spanLength } from './grid.js';
import { type BeamElement, buildMesh, type Mesh } from './mesh.js';
import type { Node } from './mesh-nodes.js';
import type { BearingPlace, Support, Viaduct } from './model.js';
import { footDisplacements } from './substructure.js';

/** m/s2 */
export const gravity = 9.81;

/** One line of bearings: a whole support, one deck end at a joint, or one of two bearings of either. */
export interface BearingLine extends BearingPlace {
  readonly support: number;
  /** Compression positive. */
  readonly reaction: number;
}

/** Equilibrium under dead load and settlements, deck and supports alone. */
export interface DeadLoadState {
  /** Per support, compression positive. */
  readonly reactions: Float64Array;
  readonly bearings: readonly BearingLine[];
  /** By how much the substructure goes down under each support; 0 on ground of its own. */
  readonly feet: Float64Array;
  /**
   * At any x on the deck. At a support `side` picks the span.
   *
   * @param y distance from the axis, to the right; 0 unless given
   */
  deflectionAt(x: number, side: 'left' | 'right', y?: number): number;
  /** Rotation about x, right side down; 0 where torsion is left out. */
  twistAt(x: number, side: 'left' | 'right'): number;
  bendingAt(x: number): number;
  shearAt(x: number, side: 'left' | 'right'): number;
}

/**
 * Static dead load: deck, rail and slab weigh on the deck; track stiffness does not help. Beam elements with a uniform load
 * are exact at their nodes; inside, bending and shear follow from equilibrium of the element.
 *
 * @throws SingularMatrixError when the deck is a mechanism (ask findMechanism first)
 */
export function solveDeadLoad(viaduct: Viaduct): DeadLoadState {
  const mesh = buildMesh({ ...viaduct, track: null }, { highestFrequency: 1, parts: ordinaryParts });
  const eccentricities = viaduct.tracks?.map(({ eccentricity }) => eccentricity) ?? [0];
  const oneTrack = (viaduct.track?.rail.massPerLength ?? 0) + (viaduct.track?.slab?.massPerLength ?? 0);
  const trackMass = oneTrack * eccentricities.length;
  /** Torque per metre from tracks beside the axis. */
  const torque = oneTrack * gravity * eccentricities.reduce((sum, eccentricity) => sum + eccentricity, 0);
  const { stiffness } = assembleSystem(mesh);
  const settlement = imposedDeflections(mesh);
  const displacement = new Float64Array(mesh.size);
  for (const { deflection, stiffness: spring, support } of mesh.supports) {
    if (deflection >= 0) displacement[deflection]! += spring * support.settlement;
  }
  addFeet(mesh, displacement);
  for (const { start, end, length } of mesh.torsion)
    for (const { twist } of [start, end]) if (twist >= 0) displacement[twist]! += (torque * length) / 2;
  const lineLoad = (element: BeamElement) => (element.massPerLength + trackMass) * gravity;
  for (const element of mesh.deck) {
    const freedoms = elementFreedoms(element);
    const load = uniformLoad(element, lineLoad(element));
    const matrix = beamStiffness(element);
    const start = settlement.get(element.start) ?? 0;
    const end = settlement.get(element.end) ?? 0;
    for (let i = 0; i < 4; i++) {
      const freedom = freedoms[i]!;
      if (freedom >= 0)
        displacement[freedom]! += load[i]! - matrix[4 * i]! * start - matrix[4 * i + 2]! * end;
    }
  }
  new BandedFactorisation(stiffness).solve(displacement);

  const deflection = (node: Node) => settlement.get(node) ?? displacement[node.deflection]!;
  const endForces = mesh.deck.map((element) => {
    const u = [
      deflection(element.start),
      displacement[element.start.rotation]!,
      deflection(element.end),
      displacement[element.end.rotation]!,
    ];
    const matrix = beamStiffness(element);
    const load = uniformLoad(element, lineLoad(element));
    const forces = new Float64Array(4);
    for (let i = 0; i < 4; i++) {
      for (let j = 0; j < 4; j++) forces[i]! += matrix[4 * i + j]! * u[j]!;
      forces[i]! -= load[i]!;
    }
    return { u, forces };
  });

  const twist = (node: Node) => (node.twist < 0 ? 0 : displacement[node.twist]!);
  const endTorque = (index: number, end: 0 | 1) => {
    const { start, end: far, rigidity, length } = mesh.torsion[index]!;
    const turned = (rigidity / length) * (twist(far) - twist(start));
    return (end === 0 ? -turned : turned) - (torque * length) / 2;
  };

  const bearings: BearingLine[] = [];
  const reactions = new Float64Array(mesh.supports.length);
  mesh.supports.forEach((support, index) => {
    if (!support.carries) return;
    support.nodes.forEach((node, side) => {
      let reaction = 0;
      let turning = 0;
      mesh.deck.forEach((element, e) => {
        if (element.start === node) reaction -= endForces[e]!.forces[0]!;
        if (element.end === node) reaction -= endForces[e]!.forces[2]!;
        if (mesh.torsion.length === 0) return;
        if (element.start === node) turning -= endTorque(e, 0);
        if (element.end === node) turning -= endTorque(e, 1);
      });
      const end = support.nodes.length === 1 ? 'only' : side === 0 ? 'left' : 'right';
      const sides = standingSides(support.support, end);
      for (const one of sides)
        bearings.push({
          support: index,
          end,
          side: one,
          reaction: bearingShare(support.support, sides, one, reaction, turning),
        });
      if (sides.length > 0) reactions[index]! += reaction;
    });
  });

  const shape = new Float64Array(4);
  const elementAt = (x: number, side: 'left' | 'right') => deckElementAt(mesh, x, side);
  const twistAt = (x: number, side: 'left' | 'right') => {
    if (mesh.torsion.length === 0) return 0;
    const index = elementAt(x, side);
    const { start, end, length, rigidity } = mesh.torsion[index]!;
    const distance = Math.min(Math.max(x - mesh.deck[index]!.x, 0), length);
    const inside = rigidity > 0 ? (torque * distance * (length - distance)) / (2 * rigidity) : 0;
    return twist(start) + ((twist(end) - twist(start)) * distance) / length + inside;
  };
  return {
    reactions,
    bearings,
    feet: footDisplacements(viaduct.substructure, viaduct.supports, reactions),
    twistAt,
    deflectionAt(x, side, y = 0) {
      const index = elementAt(x, side);
      const element = mesh.deck[index]!;
      const distance = Math.min(Math.max(x - element.x, 0), element.length);
      shapeFunctions(element, distance, shape);
      const { u } = endForces[index]!;
      const fixed =
        element.flexuralRigidity > 0 ? fixedEndDeflection(element, lineLoad(element), distance) : 0;
      const axis = shape[0]! * u[0]! + shape[1]! * u[1]! + shape[2]! * u[2]! + shape[3]! * u[3]! + fixed;
      return y === 0 ? axis : axis + y * twistAt(x, side);
    },
    bendingAt(x) {
      const index = elementAt(x, 'left');
      const element = mesh.deck[index]!;
      const distance = x - element.x;
      const { forces } = endForces[index]!;
      return forces[1]! - forces[0]! * distance - (lineLoad(element) * distance * distance) / 2;
    },
    shearAt(x, side) {
      const index = elementAt(x, side);
      const element = mesh.deck[index]!;
      return -endForces[index]!.forces[0]! - lineLoad(element) * (x - element.x);
    },
  };
}

/** Uniformly loaded fixed-fixed beam: q x^2 (l - x)^2 / (24 EI), and q x (l - x) / (2 GA) for shear. */
function fixedEndDeflection(element: BeamElement, load: number, x: number): number {
  const rest = element.length - x;
  const bending = (load * x * x * rest * rest) / (24 * element.flexuralRigidity);
  return bending + (element.shearRigidity === null ? 0 : (load * x * rest) / (2 * element.shearRigidity));
}

/** What settlement does through springs beside the axis and through the substructure. */
function addFeet({ supports, coupling }: Mesh, load: Float64Array): void {
  for (const { oneSided } of supports)
    for (const { freedoms, weights, stiffness, offset } of oneSided)
      freedoms.forEach((freedom, k) => {
        load[freedom]! += stiffness * offset * weights[k]!;
      });
  if (!coupling) return;
  const settled = supports
    .filter(({ onSubstructure }) => onSubstructure)
    .map(({ support }) => support.settlement);
  coupling.heads.forEach(({ freedoms, weights }, i) => {
    const force = settled.reduce(
      (sum, settlement, j) =>
        sum + coupling.stiffness[Math.max(i, j) * settled.length + Math.min(i, j)]! * settlement,
      0,
    );
    freedoms.forEach((freedom, k) => {
      load[freedom]! += force * weights[k]!;
    });
  });
}

/**
 * What one bearing of a deck end carries of the end's compression and of its torque about x, right side down: half of the one and
 * the torque over the spread where two bearings stand, everything where one does.
 */
export function bearingShare(
  support: Support,
  standing: readonly BearingPlace['side'][],
  side: BearingPlace['side'],
  compression: number,
  torque: number,
): number {
  if (standing.length < 2) return compression;
  return compression / 2 + ((side === 'right' ? 1 : -1) * torque) / (support.bearingSpread ?? 1);
}

function imposedDeflections(mesh: Mesh): Map<Node, number> {
  const imposed = new Map<Node, number>();
  for (const { nodes, support, carries } of mesh.supports) {
    if (!carries) continue;
    for (const node of nodes) if (node.deflection < 0) imposed.set(node, support.settlement);
  }
  return imposed;
}

/** x of every support. */
export function supportPositions(viaduct: Viaduct): number[] {
  const positions = [0];
  for (const span of viaduct.spans) {
    positions.push(positions[positions.length - 1]! + spanLength(span));
  }
  return positions;
}
