import { LuDecomposition, Matrix } from 'ml-matrix';
import { assembleDense, type DenseSystem, type FrameElement } from './dense-frame.js';

/** A deck on columns that stand on a beam below it, both simply supported at their ends, meshed every `element` metres. */
export interface TwoLevelBridge {
  readonly length: number;
  readonly element: number;
  readonly deck: { readonly flexuralRigidity: number; readonly massPerLength: number };
  readonly below: { readonly flexuralRigidity: number; readonly massPerLength: number };
  readonly columns: readonly { readonly x: number; readonly stiffness: number }[];
}

/** Deck nodes first, then those of the beam below. */
export function twoLevelSystem({ length, element, deck, below, columns }: TwoLevelBridge): DenseSystem {
  const count = Math.round(length / element);
  const beam = (first: number, section: TwoLevelBridge['deck']): FrameElement[] =>
    Array.from({ length: count }, (_, k) => ({
      from: first + k,
      to: first + k + 1,
      length: element,
      ...section,
    }));
  const second = count + 1;
  return assembleDense({
    nodes: 2 * (count + 1),
    elements: [...beam(0, deck), ...beam(second, below)],
    springs: columns.map(({ x, stiffness }) => {
      const node = Math.round(x / element);
      return { upper: 2 * node, lower: 2 * (second + node), stiffness };
    }),
    held: [0, 2 * count, 2 * second, 2 * (second + count)],
  });
}

/** Compression of each column under a uniform load (N/m) on the deck. */
export function columnForces(bridge: TwoLevelBridge, load: number): number[] {
  const { stiffness, rowOf } = twoLevelSystem(bridge);
  const count = Math.round(bridge.length / bridge.element);
  const force = Matrix.zeros(stiffness.rows, 1);
  const add = (freedom: number, value: number) => {
    const row = rowOf[freedom]!;
    if (row >= 0) force.set(row, 0, force.get(row, 0) + value);
  };
  for (let k = 0; k < count; k++) {
    add(2 * k, (load * bridge.element) / 2);
    add(2 * k + 1, (load * bridge.element ** 2) / 12);
    add(2 * k + 2, (load * bridge.element) / 2);
    add(2 * k + 3, (-load * bridge.element ** 2) / 12);
  }
  const displacement = new LuDecomposition(stiffness).solve(force);
  return bridge.columns.map(({ x, stiffness: spring }) => {
    const node = Math.round(x / bridge.element);
    const at = (one: number) => displacement.get(rowOf[2 * one]!, 0);
    return spring * (at(node) - at(count + 1 + node));
  });
}
