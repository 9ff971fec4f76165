import { assembleSystem, elementFreedoms } from './assembly.js';
import { BandedFactorisation } from './banded-factorisation.js';
import { beamStiffness, shapeFunctions, uniformLoad } from './beam-element.js';
import { spanLength } from './grid.js';
import { findMechanism, type Mechanism } from './mechanism.js';
import { type BeamElement, buildMesh, type Mesh, type Node } from './mesh.js';
import type { Support, Viaduct } from './model.js';

/** m/s2 */
export const gravity = 9.81;

/** One line of bearings: a whole support, or one deck end at a joint. */
export interface BearingLine {
  readonly support: number;
  readonly end: 'left' | 'right' | 'only';
  /** Compression positive. */
  readonly reaction: number;
}

/** Equilibrium under dead load and settlements, deck and supports alone. */
export interface DeadLoadState {
  /** Per support, compression positive. */
  readonly reactions: Float64Array;
  readonly bearings: readonly BearingLine[];
  /** At any x on the deck. At a support `side` picks the span. */
  deflectionAt(x: number, side: 'left' | 'right'): number;
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
  const mesh = buildMesh({ ...viaduct, track: null }, { highestFrequency: 1 });
  const trackMass = (viaduct.track?.rail.massPerLength ?? 0) + (viaduct.track?.slab?.massPerLength ?? 0);
  const { stiffness } = assembleSystem(mesh);
  const settlement = imposedDeflections(mesh);
  const displacement = new Float64Array(mesh.size);
  for (const { deflection, stiffness: spring, support } of mesh.supports) {
    if (deflection >= 0) displacement[deflection]! += spring * support.settlement;
  }
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

  const bearings: BearingLine[] = [];
  const reactions = new Float64Array(mesh.supports.length);
  mesh.supports.forEach((support, index) => {
    if (!support.carries) return;
    support.nodes.forEach((node, side) => {
      let reaction = 0;
      mesh.deck.forEach((element, e) => {
        if (element.start === node) reaction -= endForces[e]!.forces[0]!;
        if (element.end === node) reaction -= endForces[e]!.forces[2]!;
      });
      const end = support.nodes.length === 1 ? 'only' : side === 0 ? 'left' : 'right';
      if (end !== 'only' && support.support.lifted === end) return;
      bearings.push({ support: index, end, reaction });
      reactions[index]! += reaction;
    });
  });

  const shape = new Float64Array(4);
  const elementAt = (x: number, side: 'left' | 'right') => {
    const nudged = x + (side === 'left' ? -1e-7 : 1e-7);
    let low = 0;
    let high = mesh.deck.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (mesh.deck[middle]!.x <= nudged) low = middle;
      else high = middle - 1;
    }
    return low;
  };
  return {
    reactions,
    bearings,
    deflectionAt(x, side) {
      const index = elementAt(x, side);
      const element = mesh.deck[index]!;
      const distance = Math.min(Math.max(x - element.x, 0), element.length);
      shapeFunctions(element, distance, shape);
      const { u } = endForces[index]!;
      const fixed =
        element.flexuralRigidity > 0 ? fixedEndDeflection(element, lineLoad(element), distance) : 0;
      return shape[0]! * u[0]! + shape[1]! * u[1]! + shape[2]! * u[2]! + shape[3]! * u[3]! + fixed;
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

function imposedDeflections(mesh: Mesh): Map<Node, number> {
  const imposed = new Map<Node, number>();
  for (const { nodes, support, carries } of mesh.supports) {
    if (!carries) continue;
    for (const node of nodes) if (node.deflection < 0) imposed.set(node, support.settlement);
  }
  return imposed;
}

/** The lift-off iteration did not settle. */
export class LiftOffConvergenceError extends Error {
  constructor(iterations: number) {
    super(
      `lift-off of bearings did not settle within ${iterations} iterations; check supports and settlements`,
    );
    this.name = 'LiftOffConvergenceError';
  }
}

export interface ReleasedDeadLoad {
  /** Support ids whose bearings lifted, with the deck end at a joint. */
  readonly lifted: readonly { readonly support: string; readonly end: 'left' | 'right' | 'only' }[];
  readonly mechanism: Mechanism | null;
  /** Null when releasing them leaves a mechanism. */
  readonly state: DeadLoadState | null;
}

/** Tension a bearing line may take: a support's resistance is shared by the two deck ends at a joint. */
export function upliftResistance(support: Support, end: BearingLine['end']): number {
  return end === 'only' ? support.upliftResistance : support.upliftResistance / 2;
}

/**
 * Releases bearings that dead load pulls off, the largest pull first, closing again any gap that would turn negative, until
 * no bearing pulls more than its resistance or nothing holds the deck any more.
 *
 * @throws LiftOffConvergenceError
 */
export function releaseLiftedBearings(viaduct: Viaduct): ReleasedDeadLoad {
  const lifted = new Map<string, { support: number; end: BearingLine['end'] }>();
  const limit = 8 * viaduct.supports.length;
  const positions = supportPositions(viaduct);
  for (let iteration = 0; iteration < limit; iteration++) {
    const current = withLifted(viaduct, [...lifted.values()]);
    const named = [...lifted.values()].map(({ support, end }) => ({
      support: viaduct.supports[support]!.id,
      end,
    }));
    const mechanism = findMechanism(current);
    if (mechanism) return { lifted: named, mechanism, state: null };
    const state = solveDeadLoad(current);
    const closing = [...lifted].find(([, { support, end }]) => {
      const side = end === 'right' ? 'right' : 'left';
      const head = headOf(viaduct.supports[support]!, state, support);
      return state.deflectionAt(positions[support]!, support === 0 ? 'right' : side) > head + 1e-9;
    });
    if (closing) {
      lifted.delete(closing[0]);
      continue;
    }
    const tolerance = 1e-6 * state.reactions.reduce((sum, value) => sum + Math.abs(value), 0);
    let worst: BearingLine | null = null;
    for (const line of state.bearings) {
      const excess = -line.reaction - upliftResistance(viaduct.supports[line.support]!, line.end);
      if (excess > tolerance && (!worst || line.reaction < worst.reaction)) worst = line;
    }
    if (!worst) return { lifted: named, mechanism: null, state };
    lifted.set(`${worst.support}/${worst.end}`, { support: worst.support, end: worst.end });
  }
  throw new LiftOffConvergenceError(limit);
}

function headOf(support: Support, state: DeadLoadState, index: number): number {
  const compression = state.reactions[index]!;
  return support.settlement + (Number.isFinite(support.stiffness) ? compression / support.stiffness : 0);
}

function withLifted(
  viaduct: Viaduct,
  lifted: readonly { support: number; end: BearingLine['end'] }[],
): Viaduct {
  const supports = viaduct.supports.map((support, index): Support => {
    const ends = lifted.filter((line) => line.support === index).map((line) => line.end);
    if (ends.length === 0) return support;
    const end = ends[0]!;
    return end === 'only' || ends.length > 1 ? { ...support, bearing: false } : { ...support, lifted: end };
  });
  return { ...viaduct, supports };
}

/** x of every support. */
export function supportPositions(viaduct: Viaduct): number[] {
  const positions = [0];
  for (const span of viaduct.spans) {
    positions.push(positions[positions.length - 1]! + spanLength(span));
  }
  return positions;
}
