import { BandedFactorisation } from '../matrices/banded-factorisation.js';
import { BandedMatrix } from '../matrices/banded-matrix.js';
import { beamMass, beamStiffness } from './beam-element.js';

/** A joint of a plane frame, x along the deck and z downwards. */
export interface FrameNode {
  readonly x: number;
  readonly z: number;
  /** What the ground does: nothing, hold both displacements, or those and the rotation. */
  readonly held: 'free' | 'pinned' | 'clamped';
}

export interface FrameBar {
  /** Indices of its nodes. */
  readonly from: number;
  readonly to: number;
  readonly axialRigidity: number;
  /** Null: hinged at both ends. */
  readonly flexuralRigidity: number | null;
  readonly massPerLength: number;
}

export interface PlaneFrame {
  readonly nodes: readonly FrameNode[];
  readonly bars: readonly FrameBar[];
  /** Nodes that carry a support of the deck. */
  readonly points: readonly number[];
}

/** A frame as the points that carry the deck feel it, in the vertical. */
export interface CondensedFrame {
  /** m/N, points x points, row by row. */
  readonly flexibility: Float64Array;
  /** kg, likewise. */
  readonly mass: Float64Array;
}

/** A pivot this small against its diagonal is a motion without resistance. */
const vanishing = 1e-12;

/**
 * Static condensation of a plane frame on the vertical displacements of its points, with its mass by the same shapes: R. J. Guyan,
 * AIAA Journal 3(2), 1965 (mem). Bars are Euler-Bernoulli beams with axial deformation, one element each; J. S. Przemieniecki, Theory of Matrix
 * Structural Analysis (1968), section 5.6 (mem).
 *
 * @throws SingularMatrixError for a frame that is a mechanism
 */
export function condenseFrame(frame: PlaneFrame): CondensedFrame {
  const { freedoms, size } = frameFreedoms(frame);
  const stiffness = new BandedMatrix(size, Math.max(1, size - 1));
  const mass = new BandedMatrix(size, Math.max(1, size - 1));
  for (const bar of frame.bars) addBar(frame, bar, freedoms, stiffness, mass);
  const factorisation = new BandedFactorisation(stiffness, vanishing);
  const points = frame.points.map((node) => freedoms[node]![1]);
  const count = points.length;
  const underUnitLoads = points.map((point) => {
    const displacement = new Float64Array(size);
    displacement[point] = 1;
    factorisation.solve(displacement);
    return displacement;
  });
  const flexibility = new Float64Array(count * count);
  const flexible = new BandedMatrix(count, Math.max(1, count - 1));
  for (let i = 0; i < count; i++)
    for (let j = 0; j < count; j++) {
      const value = (underUnitLoads[i]![points[j]!]! + underUnitLoads[j]![points[i]!]!) / 2;
      flexibility[i * count + j] = value;
      if (j <= i) flexible.add(i, j, value);
    }
  return { flexibility, mass: massOnPoints(underUnitLoads, mass, new BandedFactorisation(flexible)) };
}

/** Phi^T M Phi with Phi the shapes of one point moved by 1, the others held: unit loads times the inverse of the flexibility. */
function massOnPoints(
  underUnitLoads: readonly Float64Array[],
  mass: BandedMatrix,
  flexibility: BandedFactorisation,
): Float64Array {
  const count = underUnitLoads.length;
  const shapes = underUnitLoads.map((_, point) => {
    const loads = new Float64Array(count);
    loads[point] = 1;
    flexibility.solve(loads);
    const shape = new Float64Array(mass.size);
    underUnitLoads.forEach((displacement, i) => {
      for (let k = 0; k < shape.length; k++) shape[k]! += loads[i]! * displacement[k]!;
    });
    return shape;
  });
  const condensed = new Float64Array(count * count);
  const product = new Float64Array(mass.size);
  shapes.forEach((shape, i) => {
    mass.multiply(shape, product);
    shapes.forEach((other, j) => {
      condensed[i * count + j] = other.reduce((sum, value, k) => sum + value * product[k]!, 0);
    });
  });
  return condensed;
}

type NodeFreedoms = readonly [horizontal: number, vertical: number, rotation: number];

/** A rotation is a freedom only where a bar resists it. */
function frameFreedoms({ nodes, bars }: PlaneFrame): {
  readonly freedoms: readonly NodeFreedoms[];
  readonly size: number;
} {
  let size = 0;
  const freedoms = nodes.map(({ held }, node): NodeFreedoms => {
    const turns =
      held !== 'clamped' &&
      bars.some(
        ({ from, to, flexuralRigidity }) => flexuralRigidity !== null && (from === node || to === node),
      );
    const moves = held === 'free';
    return [moves ? size++ : -1, moves ? size++ : -1, turns ? size++ : -1];
  });
  return { freedoms, size };
}

function addBar(
  { nodes }: PlaneFrame,
  bar: FrameBar,
  freedoms: readonly NodeFreedoms[],
  stiffness: BandedMatrix,
  mass: BandedMatrix,
): void {
  const from = nodes[bar.from]!;
  const to = nodes[bar.to]!;
  const length = Math.hypot(to.x - from.x, to.z - from.z);
  const [cosine, sine] = [(to.x - from.x) / length, (to.z - from.z) / length];
  const six = [...freedoms[bar.from]!, ...freedoms[bar.to]!];
  /** Along the bar at either end. */
  const along = [
    [cosine, sine, 0, 0, 0, 0],
    [0, 0, 0, cosine, sine, 0],
  ];
  /** Across the bar, and the rotation, at either end. */
  const across = [
    [-sine, cosine, 0, 0, 0, 0],
    [0, 0, 1, 0, 0, 0],
    [0, 0, 0, -sine, cosine, 0],
    [0, 0, 0, 0, 0, 1],
  ];
  const k = bar.axialRigidity / length;
  const m = (bar.massPerLength * length) / 6;
  const linearMass = [2 * m, m, m, 2 * m];
  addTransformed(stiffness, six, along, [k, -k, -k, k]);
  addTransformed(mass, six, along, linearMass);
  if (bar.flexuralRigidity === null) {
    addTransformed(mass, six, [across[0]!, across[2]!], linearMass);
    return;
  }
  const beam = {
    length,
    flexuralRigidity: bar.flexuralRigidity,
    massPerLength: bar.massPerLength,
    shearRigidity: null,
  };
  addTransformed(stiffness, six, across, beamStiffness(beam));
  addTransformed(mass, six, across, beamMass(beam));
}

/** T^T A T on the freedoms of a bar. */
function addTransformed(
  matrix: BandedMatrix,
  freedoms: readonly number[],
  transformation: readonly (readonly number[])[],
  values: ArrayLike<number>,
): void {
  const count = transformation.length;
  for (let i = 0; i < 6; i++)
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let a = 0; a < count; a++)
        for (let b = 0; b < count; b++)
          sum += transformation[a]![i]! * values[a * count + b]! * transformation[b]![j]!;
      matrix.add(freedoms[i]!, freedoms[j]!, sum);
    }
}
