import { inverse, Matrix } from 'ml-matrix';
import type { DenseSystem } from './dense-frame.js';

/** A mass on a spring and a dashpot over a wheelset, and the wheelset on its contact spring; N, m, kg. */
export interface RollingMass {
  /** m behind the leading wheelset. */
  readonly behind: number;
  readonly mass: number;
  readonly stiffness: number;
  readonly damping: number;
  readonly wheelsetMass: number;
  readonly contactStiffness: number;
}

/** How they run, m, m/s and s. */
export interface RollingMotion {
  /** x of the leading wheelset. */
  readonly from: number;
  readonly to: number;
  readonly speed: number;
  readonly timeStep: number;
  /** m that the unloaded rail lies lower at x than it was built; absent: nowhere. */
  readonly levelAt?: (x: number) => number;
}

/** Contact force of each wheelset, N, compression positive, and acceleration of each mass, m/s2. */
export type WheelVisitor = (
  head: number,
  forces: readonly number[],
  accelerations: readonly number[],
) => void;

const gravity = 9.81;

/**
 * Structure and vehicles together by constant mean acceleration (N. M. Newmark, Journal of the Engineering Mechanics Division 85(3), 1959),
 * from static equilibrium where they stand at first. In each step the contact forces are the solution of as many equations as there are
 * wheelsets; a force below 0 would be a wheel that hangs on the rail, and throws.
 *
 * @param shapesAt weight of each freedom in the deflection under a wheel at x, zeros elsewhere
 */
export function rollOver(
  { stiffness, mass }: DenseSystem,
  damping: Matrix,
  vehicles: readonly RollingMass[],
  { from, to, speed, timeStep, levelAt = () => 0 }: RollingMotion,
  shapesAt: (x: number) => Float64Array,
  visit: WheelVisitor,
): void {
  const structure = new Newmark(stiffness, mass, damping, timeStep);
  const bodies = vehicles.map(
    (one) =>
      new Newmark(
        new Matrix([
          [one.stiffness, -one.stiffness],
          [-one.stiffness, one.stiffness],
        ]),
        Matrix.diag([one.mass, one.wheelsetMass]),
        new Matrix([
          [one.damping, -one.damping],
          [-one.damping, one.damping],
        ]),
        timeStep,
      ),
  );
  const weights = vehicles.map((one) => (one.mass + one.wheelsetMass) * gravity);
  const flexibility = inverse(stiffness);
  const standing = vehicles.map(({ behind }) => shapesAt(from - behind));
  structure.u.set(times(rowsOf(flexibility), sumOf(standing, weights)));
  bodies.forEach((body, k) => {
    const { contactStiffness, mass: above, stiffness: spring } = vehicles[k]!;
    body.u[1] = weights[k]! / contactStiffness + dot(standing[k]!, structure.u);
    body.u[0] = body.u[1] + (above * gravity) / spring;
  });
  for (let head = from + speed * timeStep; head <= to; head += speed * timeStep) {
    const shapes = vehicles.map(({ behind }) => shapesAt(head - behind));
    const rail = structure.free(null);
    const free = bodies.map((body, k) =>
      body.free(Float64Array.of(vehicles[k]!.mass * gravity, vehicles[k]!.wheelsetMass * gravity)),
    );
    const yields = shapes.map((shape) => structure.under(shape));
    const coupling = new Matrix(
      shapes.map((shape, i) =>
        yields.map((moved, j) => {
          const own = 1 / vehicles[i]!.contactStiffness + bodies[i]!.solver.get(1, 1);
          return dot(shape, moved) + (i === j ? own : 0);
        }),
      ),
    );
    const closing = Float64Array.from(shapes, (shape, i) => {
      const level = levelAt(head - vehicles[i]!.behind);
      return free[i]![1]! - dot(shape, rail) - level;
    });
    const forces = Array.from(times(rowsOf(inverse(coupling)), closing));
    if (forces.some((force) => force < 0)) throw new RangeError('a wheel left the rail');
    const pressed = sumOf(yields, forces);
    structure.move(rail.map((value, i) => value + pressed[i]!));
    bodies.forEach((body, k) => {
      body.move(free[k]!.map((value, i) => value - body.solver.get(i, 1) * forces[k]!));
    });
    visit(
      head,
      forces,
      bodies.map(({ a }) => a[0]!),
    );
  }
}

/** Matrices of a few hundred freedoms over one step. */
class Newmark {
  readonly u: Float64Array;
  readonly a: Float64Array;
  /** Displacements at the end of the step per force there. */
  readonly solver: Matrix;
  private readonly solverRows: Rows;
  private readonly mass: Rows;
  private readonly damping: Rows;
  private readonly v: Float64Array;

  constructor(
    stiffness: Matrix,
    mass: Matrix,
    damping: Matrix,
    private readonly timeStep: number,
  ) {
    const effective = Matrix.add(stiffness, Matrix.mul(mass, 4 / timeStep ** 2));
    this.solver = inverse(effective.add(Matrix.mul(damping, 2 / timeStep)));
    this.solverRows = rowsOf(this.solver);
    this.mass = rowsOf(mass);
    this.damping = rowsOf(damping);
    this.u = new Float64Array(stiffness.rows);
    this.v = new Float64Array(stiffness.rows);
    this.a = new Float64Array(stiffness.rows);
  }

  /** Displacements at the end of the step without contact forces. */
  free(load: Float64Array | null): Float64Array {
    const { u, v, a, timeStep: h } = this;
    const inertia = times(
      this.mass,
      u.map((value, i) => (4 / h ** 2) * value + (4 / h) * v[i]! + a[i]!),
    );
    const drag = times(
      this.damping,
      u.map((value, i) => (2 / h) * value + v[i]!),
    );
    return times(
      this.solverRows,
      inertia.map((value, i) => value + drag[i]! + (load ? load[i]! : 0)),
    );
  }

  /** Displacements that a unit force with these weights adds. */
  under(weights: Float64Array): Float64Array {
    return times(this.solverRows, weights);
  }

  move(next: Float64Array): void {
    const { u, v, a, timeStep: h } = this;
    for (let i = 0; i < u.length; i++) {
      const acceleration = (4 / h ** 2) * (next[i]! - u[i]!) - (4 / h) * v[i]! - a[i]!;
      v[i]! += (h / 2) * (a[i]! + acceleration);
      a[i] = acceleration;
      u[i] = next[i]!;
    }
  }
}

/** Rows of a matrix, each with the columns in which it has entries. */
type Rows = readonly { readonly columns: Int32Array; readonly values: Float64Array }[];

function rowsOf(matrix: Matrix): Rows {
  return Array.from({ length: matrix.rows }, (_, i) => {
    const row = matrix.getRow(i);
    const columns = Int32Array.from(row.keys()).filter((j) => row[j] !== 0);
    return { columns, values: Float64Array.from(columns, (j) => row[j]!) };
  });
}

function times(rows: Rows, x: Float64Array): Float64Array {
  return Float64Array.from(rows, ({ columns, values }) => {
    let sum = 0;
    for (let k = 0; k < columns.length; k++) sum += values[k]! * x[columns[k]!]!;
    return sum;
  });
}

function dot(a: Float64Array, b: Float64Array): number {
  return a.reduce((sum, value, i) => sum + value * b[i]!, 0);
}

function sumOf(vectors: readonly Float64Array[], factors: readonly number[]): Float64Array {
  return vectors[0]!.map((_, i) => vectors.reduce((sum, one, k) => sum + one[i]! * factors[k]!, 0));
}
