import { BandedFactorisation } from '../matrices/banded-factorisation.js';
import { assembleSystem, elementFreedoms } from '../mesh/assembly.js';
import { beamStiffness, uniformLoad } from '../mesh/beam-element.js';
import { ordinaryParts, spanLength } from '../mesh/grid.js';
import { buildMesh, type Mesh } from '../mesh/mesh.js';
import type { Node } from '../mesh/mesh-nodes.js';
import { standingSides } from '../viaduct/bearings.js';
import { gravity } from '../viaduct/gravity.js';
import type { BearingPlace, Support, Viaduct } from '../viaduct/model.js';
import { footDisplacements } from '../viaduct/substructure.js';
import { type BearingLine, DeadLoadState } from './dead-load-state.js';

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
  const lineLoads = Float64Array.from(mesh.deck, (element) => (element.massPerLength + trackMass) * gravity);
  for (let e = 0; e < mesh.deck.length; e++) {
    const element = mesh.deck[e]!;
    const freedoms = elementFreedoms(element);
    const load = uniformLoad(element, lineLoads[e]!);
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
  const ends = new Float64Array(4 * mesh.deck.length);
  const forces = new Float64Array(4 * mesh.deck.length);
  for (let e = 0; e < mesh.deck.length; e++) {
    const element = mesh.deck[e]!;
    ends[4 * e] = deflection(element.start);
    ends[4 * e + 1] = displacement[element.start.rotation]!;
    ends[4 * e + 2] = deflection(element.end);
    ends[4 * e + 3] = displacement[element.end.rotation]!;
    const matrix = beamStiffness(element);
    const load = uniformLoad(element, lineLoads[e]!);
    for (let i = 0; i < 4; i++) {
      for (let j = 0; j < 4; j++) forces[4 * e + i]! += matrix[4 * i + j]! * ends[4 * e + j]!;
      forces[4 * e + i]! -= load[i]!;
    }
  }

  const twist = (node: Node) => (node.twist < 0 ? 0 : displacement[node.twist]!);
  const twists = Float64Array.from(mesh.torsion.flatMap(({ start, end }) => [twist(start), twist(end)]));
  const endTorque = (index: number, end: 0 | 1) => {
    const { rigidity, length } = mesh.torsion[index]!;
    const turned = (rigidity / length) * (twists[2 * index + 1]! - twists[2 * index]!);
    return (end === 0 ? -turned : turned) - (torque * length) / 2;
  };

  const bearings: BearingLine[] = [];
  const reactions = new Float64Array(mesh.supports.length);
  mesh.supports.forEach((support, index) => {
    if (!support.carries) return;
    support.nodes.forEach((node, side) => {
      let reaction = 0;
      let turning = 0;
      for (let e = 0; e < mesh.deck.length; e++) {
        const element = mesh.deck[e]!;
        if (element.start === node) reaction -= forces[4 * e]!;
        if (element.end === node) reaction -= forces[4 * e + 2]!;
        if (mesh.torsion.length === 0) continue;
        if (element.start === node) turning -= endTorque(e, 0);
        if (element.end === node) turning -= endTorque(e, 1);
      }
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

  const feet = footDisplacements(viaduct.substructure, viaduct.supports, reactions);
  return new DeadLoadState(reactions, bearings, feet, { mesh, ends, forces, lineLoads, twists, torque });
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
