import { CholeskyDecomposition, EigenvalueDecomposition, inverse, Matrix } from 'ml-matrix';

/**
 * A finite element model of its own, dense and plain, that shares no code with the solver: Hermite beam elements with the stiffness and
 * consistent mass printed in every textbook (R. W. Clough and J. Penzien, Dynamics of Structures, section 11-4), springs, held freedoms.
 * Node n has the freedoms 2 n (deflection, downwards) and 2 n + 1 (rotation).
 */
export interface FrameElement {
  readonly from: number;
  readonly to: number;
  readonly length: number;
  readonly flexuralRigidity: number;
  readonly massPerLength: number;
}

export interface Frame {
  readonly nodes: number;
  readonly elements: readonly FrameElement[];
  readonly springs: readonly {
    readonly upper: number;
    readonly lower: number | null;
    readonly stiffness: number;
  }[];
  /** Freedoms held at zero. */
  readonly held: readonly number[];
}

export interface DenseSystem {
  readonly stiffness: Matrix;
  readonly mass: Matrix;
  /** Row of each freedom in the matrices; -1 held. */
  readonly rowOf: readonly number[];
}

export function stiffnessOf({ length: l, flexuralRigidity: ei }: FrameElement): Matrix {
  return new Matrix([
    [12, 6 * l, -12, 6 * l],
    [6 * l, 4 * l * l, -6 * l, 2 * l * l],
    [-12, -6 * l, 12, -6 * l],
    [6 * l, 2 * l * l, -6 * l, 4 * l * l],
  ]).mul(ei / l ** 3);
}

export function massOf({ length: l, massPerLength: m }: FrameElement): Matrix {
  return new Matrix([
    [156, 22 * l, 54, -13 * l],
    [22 * l, 4 * l * l, 13 * l, -3 * l * l],
    [54, 13 * l, 156, -22 * l],
    [-13 * l, -3 * l * l, -22 * l, 4 * l * l],
  ]).mul((m * l) / 420);
}

export function freedomsOf({ from, to }: FrameElement): number[] {
  return [2 * from, 2 * from + 1, 2 * to, 2 * to + 1];
}

/** Hermite cubics at the distance s from the first node. */
export function hermite(l: number, s: number): number[] {
  const r = s / l;
  return [1 - 3 * r ** 2 + 2 * r ** 3, s * (1 - r) ** 2, 3 * r ** 2 - 2 * r ** 3, s * (r * r - r)];
}

export function assembleDense(frame: Frame): DenseSystem {
  let size = 0;
  const held = new Set(frame.held);
  const rowOf = Array.from({ length: 2 * frame.nodes }, (_, freedom) => (held.has(freedom) ? -1 : size++));
  const stiffness = Matrix.zeros(size, size);
  const mass = Matrix.zeros(size, size);
  const add = (matrix: Matrix, a: number, b: number, value: number) => {
    const [i, j] = [rowOf[a]!, rowOf[b]!];
    if (i >= 0 && j >= 0) matrix.set(i, j, matrix.get(i, j) + value);
  };
  for (const element of frame.elements) {
    const k = stiffnessOf(element);
    const m = massOf(element);
    freedomsOf(element).forEach((a, i) => {
      freedomsOf(element).forEach((b, j) => {
        add(stiffness, a, b, k.get(i, j));
        add(mass, a, b, m.get(i, j));
      });
    });
  }
  for (const { upper, lower, stiffness: value } of frame.springs) {
    add(stiffness, upper, upper, value);
    if (lower === null) continue;
    add(stiffness, lower, lower, value);
    add(stiffness, upper, lower, -value);
    add(stiffness, lower, upper, -value);
  }
  return { stiffness, mass, rowOf };
}

/** All modes, mass-orthonormal columns, ascending, by Cholesky reduction and a dense eigensolution. */
export function denseModes({ stiffness, mass }: DenseSystem): { frequencies: number[]; shapes: Matrix } {
  const lowerInverse = inverse(new CholeskyDecomposition(mass).lowerTriangularMatrix);
  const reduced = lowerInverse.mmul(stiffness).mmul(lowerInverse.transpose());
  const symmetric = reduced.add(reduced.transpose()).mul(0.5);
  const decomposition = new EigenvalueDecomposition(symmetric, { assumeSymmetric: true });
  const order = decomposition.realEigenvalues
    .map((value, column) => ({ value, column }))
    .sort((a, b) => a.value - b.value);
  const vectors = lowerInverse.transpose().mmul(decomposition.eigenvectorMatrix);
  return {
    frequencies: order.map(({ value }) => Math.sqrt(Math.max(0, value)) / (2 * Math.PI)),
    shapes: vectors.subMatrixColumn(order.map(({ column }) => column)),
  };
}
