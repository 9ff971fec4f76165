import { inverse, Matrix } from 'ml-matrix';
import type { VehicleComponent } from './vehicle-system.js';

/** 1 + alpha: forces count at this share of the step; with beta and gamma to match, of second order. */
const forceShare = 2 / 3;
const gamma = 1.5 - forceShare;
const beta = (2 - forceShare) ** 2 / 4;
/** Entries of the inverse below this share of its largest are round-off; long articulated trains then cost no more per vehicle. */
const negligible = 1e-16;

/**
 * One component of a train over time by the method of H. M. Hilber, T. J. Hughes and R. L. Taylor, Earthquake Engineering and
 * Structural Dynamics 5, 1977, alpha -1/3: second order, stable at any step, and it damps what the step cannot resolve (a wheel
 * hopping on a stiff contact), which Newmark's method would let ring for ever. A step has two halves: `predict` moves the
 * component under static wheel loads, `correct` adds what the forces beyond them do, so that wheel forces can be iterated
 * between them at the cost of a few products.
 */
export class ImplicitStep {
  readonly component: VehicleComponent;
  readonly displacement: Float64Array;
  readonly velocity: Float64Array;
  readonly acceleration: Float64Array;
  /** Displacement of each wheel (in the component's order) if its forces stay static; set by `predict`. */
  readonly freeWheel: Float64Array;
  /** wheels x wheels: downward displacement at the end of the step of one wheel per unit of upward force on another. */
  readonly receptance: Float64Array;
  private readonly timeStep: number;
  private readonly inverse: Float64Array;
  private readonly from: Int32Array;
  private readonly to: Int32Array;
  private readonly right: Float64Array;
  /** Displacement and velocity where the forces count. */
  private readonly within: Float64Array;
  private readonly rate: Float64Array;
  /** Upward force beyond the static load of each own wheel at the start of the step. */
  private readonly surplusBefore: Float64Array;
  /** Range of columns in which a row of damping or stiffness has entries. */
  private readonly coupledFrom: Int32Array;
  private readonly coupledTo: Int32Array;

  constructor(component: VehicleComponent, timeStep: number) {
    const { size, mass, damping, stiffness, wheelFreedoms } = component;
    this.component = component;
    this.timeStep = timeStep;
    this.displacement = new Float64Array(size);
    this.velocity = new Float64Array(size);
    this.acceleration = new Float64Array(size);
    this.right = new Float64Array(size);
    this.within = new Float64Array(size);
    this.rate = new Float64Array(size);
    this.surplusBefore = new Float64Array(wheelFreedoms.length);
    this.freeWheel = new Float64Array(wheelFreedoms.length);
    const system = Matrix.zeros(size, size);
    for (let i = 0; i < size; i++) {
      for (let j = 0; j < size; j++) {
        const own = i === j ? mass[i]! : 0;
        const at = i * size + j;
        const held = gamma * timeStep * damping[at]! + beta * timeStep * timeStep * stiffness[at]!;
        system.set(i, j, own + forceShare * held);
      }
    }
    const inverted = inverse(system);
    this.inverse = Float64Array.from({ length: size * size }, (_, k) =>
      inverted.get(Math.floor(k / size), k % size),
    );
    this.from = new Int32Array(size);
    this.to = new Int32Array(size);
    this.coupledFrom = new Int32Array(size);
    this.coupledTo = new Int32Array(size);
    for (let i = 0; i < size; i++) {
      const row = this.inverse.subarray(i * size, (i + 1) * size);
      const least = negligible * row.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
      let to = size;
      while (Math.abs(row[to - 1]!) <= least) to--;
      this.from[i] = row.findIndex((value) => Math.abs(value) > least);
      this.to[i] = to;
      const columns = Array.from({ length: size }, (_, j) => j).filter(
        (j) => damping[i * size + j] !== 0 || stiffness[i * size + j] !== 0,
      );
      this.coupledFrom[i] = columns[0] ?? i;
      this.coupledTo[i] = (columns[columns.length - 1] ?? i) + 1;
    }
    const scale = forceShare * beta * timeStep * timeStep;
    this.receptance = Float64Array.from({ length: wheelFreedoms.length ** 2 }, (_, k) => {
      const i = wheelFreedoms[Math.floor(k / wheelFreedoms.length)]!;
      const j = wheelFreedoms[k % wheelFreedoms.length]!;
      return scale * this.inverse[i * size + j]!;
    });
  }

  predict(): void {
    const { size, damping, stiffness, wheelFreedoms } = this.component;
    const { displacement: u, velocity: v, acceleration: a, timeStep: h, right, within, rate } = this;
    for (let i = 0; i < size; i++) {
      const moved = h * v[i]! + h * h * (0.5 - beta) * a[i]!;
      const gained = h * (1 - gamma) * a[i]!;
      within[i] = u[i]! + forceShare * moved;
      rate[i] = v[i]! + forceShare * gained;
      u[i]! += moved;
      v[i]! += gained;
    }
    for (let i = 0; i < size; i++) {
      let sum = 0;
      const row = i * size;
      for (let j = this.coupledFrom[i]!; j < this.coupledTo[i]!; j++)
        sum -= damping[row + j]! * rate[j]! + stiffness[row + j]! * within[j]!;
      right[i] = sum;
    }
    for (let k = 0; k < wheelFreedoms.length; k++)
      right[wheelFreedoms[k]!]! -= (1 - forceShare) * this.surplusBefore[k]!;
    for (let i = 0; i < size; i++) {
      let sum = 0;
      const row = i * size;
      for (let j = this.from[i]!; j < this.to[i]!; j++) sum += this.inverse[row + j]! * right[j]!;
      a[i] = sum;
    }
    for (let k = 0; k < wheelFreedoms.length; k++) {
      const freedom = wheelFreedoms[k]!;
      this.freeWheel[k] = u[freedom]! + beta * h * h * a[freedom]!;
    }
  }

  /** @param surplus upward contact force of every wheel of the consist beyond its static load */
  correct(surplus: Float64Array): void {
    const { size, wheels, wheelFreedoms } = this.component;
    const { displacement: u, velocity: v, acceleration: a, timeStep: h } = this;
    for (let k = 0; k < wheels.length; k++) {
      this.surplusBefore[k] = surplus[wheels[k]!]!;
      const force = forceShare * surplus[wheels[k]!]!;
      if (force === 0) continue;
      const freedom = wheelFreedoms[k]!;
      const row = freedom * size;
      // The inverse is symmetric: its row is its column.
      for (let i = this.from[freedom]!; i < this.to[freedom]!; i++) a[i]! -= this.inverse[row + i]! * force;
    }
    for (let i = 0; i < size; i++) {
      u[i]! += beta * h * h * a[i]!;
      v[i]! += gamma * h * a[i]!;
    }
  }
}
