import { shapeFunctions } from '../mesh/beam-element.js';
import { elementAt } from '../mesh/element-at.js';
import type { BeamElement, Mesh } from '../mesh/mesh.js';
import type { BearingPlace } from '../viaduct/model.js';

/** One line of bearings: a whole support, one deck end at a joint, or one of two bearings of either. */
export interface BearingLine extends BearingPlace {
  readonly support: number;
  /** Compression positive. */
  readonly reaction: number;
}

/** The deck's elements under dead load, four numbers each in the order of their freedoms, and two of torsion. */
export interface LoadedDeck {
  readonly mesh: Mesh;
  /** Displacements at the ends. */
  readonly ends: Float64Array;
  /** Forces at the ends. */
  readonly forces: Float64Array;
  /** N/m on each element. */
  readonly lineLoads: Float64Array;
  /** Rotation about x at both ends of each element; empty where torsion is left out. */
  readonly twists: Float64Array;
  /** N m per metre about x, right side down, on every element. */
  readonly torque: number;
}

/** Equilibrium under dead load and settlements, deck and supports alone. */
export class DeadLoadState {
  /** Sum of all supports' reactions, whatever their sign. */
  readonly totalReaction: number;
  private readonly shape = new Float64Array(4);

  /**
   * @param reactions per support, compression positive
   * @param feet by how much the substructure goes down under each support; 0 on ground of its own
   */
  constructor(
    readonly reactions: Float64Array,
    readonly bearings: readonly BearingLine[],
    readonly feet: Float64Array,
    private readonly deck: LoadedDeck,
  ) {
    let total = 0;
    for (let i = 0; i < reactions.length; i++) total += Math.abs(reactions[i]!);
    this.totalReaction = total;
  }

  /**
   * At any x on the deck. At a support `side` picks the span.
   *
   * @param y distance from the axis, to the right; 0 unless given
   */
  deflectionAt(x: number, side: 'left' | 'right', y = 0): number {
    const { mesh, ends, lineLoads } = this.deck;
    const index = elementAt(mesh.deck, x, side);
    const element = mesh.deck[index]!;
    const distance = Math.min(Math.max(x - element.x, 0), element.length);
    const { shape } = this;
    shapeFunctions(element, distance, shape);
    const u = 4 * index;
    const fixed = element.flexuralRigidity > 0 ? fixedEndDeflection(element, lineLoads[index]!, distance) : 0;
    const axis =
      shape[0]! * ends[u]! +
      shape[1]! * ends[u + 1]! +
      shape[2]! * ends[u + 2]! +
      shape[3]! * ends[u + 3]! +
      fixed;
    return y === 0 ? axis : axis + y * this.twistAt(x, side);
  }

  /** Rotation about x, right side down; 0 where torsion is left out. */
  twistAt(x: number, side: 'left' | 'right'): number {
    const { mesh, twists, torque } = this.deck;
    if (mesh.torsion.length === 0) return 0;
    const index = elementAt(mesh.deck, x, side);
    const { length, rigidity } = mesh.torsion[index]!;
    const distance = Math.min(Math.max(x - mesh.deck[index]!.x, 0), length);
    const inside = rigidity > 0 ? (torque * distance * (length - distance)) / (2 * rigidity) : 0;
    const start = twists[2 * index]!;
    return start + ((twists[2 * index + 1]! - start) * distance) / length + inside;
  }

  /** N m, sagging positive. */
  bendingAt(x: number): number {
    const { mesh, forces, lineLoads } = this.deck;
    const index = elementAt(mesh.deck, x, 'left');
    const distance = x - mesh.deck[index]!.x;
    return (
      forces[4 * index + 1]! - forces[4 * index]! * distance - (lineLoads[index]! * distance * distance) / 2
    );
  }

  /** N, dM/dx. At a support `side` picks the span. */
  shearAt(x: number, side: 'left' | 'right'): number {
    const { mesh, forces, lineLoads } = this.deck;
    const index = elementAt(mesh.deck, x, side);
    return -forces[4 * index]! - lineLoads[index]! * (x - mesh.deck[index]!.x);
  }
}

/** Uniformly loaded fixed-fixed beam: q x^2 (l - x)^2 / (24 EI), and q x (l - x) / (2 GA) for shear. */
function fixedEndDeflection(element: BeamElement, load: number, x: number): number {
  const rest = element.length - x;
  const bending = (load * x * x * rest * rest) / (24 * element.flexuralRigidity);
  return bending + (element.shearRigidity === null ? 0 : (load * x * rest) / (2 * element.shearRigidity));
}
