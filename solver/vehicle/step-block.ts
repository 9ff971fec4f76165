import type { BlockArithmetic } from '../arithmetic/block-arithmetic.js';
import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import type { Consist } from './consist.js';
import type { CoupledRun } from './coupled-run.js';

/** Steps that fit into a block. */
export const blockLength = 64;
/** Columns that a block takes over from the one before, so that a peak on the seam is seen from both sides. */
const seam = 2;

/** The latest steps of a coupled run, a column each: what the modes and the wheels did, and the most of it within the block. */
export class StepBlock {
  /** Steps in it. */
  columns = 0;
  /** w^2 q - p of each mode, as the row sets take it. */
  readonly departure: Float64Array;
  readonly acceleration: Float64Array;
  readonly departureMost: Float64Array;
  readonly accelerationMost: Float64Array;
  /** Contact forces beyond the static loads. */
  readonly surplus: Float64Array;
  readonly surplusMost: Float64Array;
  /** Of all wheels together. */
  surplusSum = 0;
  /** Sample number of each wheel on the running line. */
  readonly places: Float64Array;
  private readonly loads: Float64Array;

  constructor(
    private readonly model: DynamicModel,
    { wheels }: Consist,
    arithmetic: BlockArithmetic,
  ) {
    const modes = model.modes.shapes.length;
    this.loads = Float64Array.from(wheels, ({ load }) => load);
    this.departure = arithmetic.allocate(modes * blockLength);
    this.acceleration = arithmetic.allocate(modes * blockLength);
    this.departureMost = arithmetic.allocate(modes);
    this.accelerationMost = arithmetic.allocate(modes);
    this.surplus = new Float64Array(wheels.length * blockLength);
    this.surplusMost = new Float64Array(wheels.length);
    this.places = new Float64Array(wheels.length * blockLength).fill(-1);
  }

  /** Takes over the state of the run at the end of a step. @returns whether the block is full */
  take(run: CoupledRun): boolean {
    const b = this.columns++;
    const { modes, dampingRatios } = this.model;
    const { coordinates, velocities, modalForces } = run;
    for (let j = 0; j < this.departureMost.length; j++) {
      const w = modes.angularFrequencies[j]!;
      const away = w * w * coordinates[j]! - modalForces[j]!;
      this.departure[j * blockLength + b] = away;
      this.acceleration[j * blockLength + b] = -away - 2 * dampingRatios[j]! * w * velocities[j]!;
    }
    for (let wheel = 0; wheel < run.positions.length; wheel++) {
      this.surplus[wheel * blockLength + b] = run.contactForces[wheel]! - this.loads[wheel]!;
      this.places[wheel * blockLength + b] = run.positions[wheel]!;
    }
    return this.columns === blockLength;
  }

  /** Finds the most of everything in the block. */
  takeMost(): void {
    mostOf(this.departure, this.columns, this.departureMost);
    mostOf(this.acceleration, this.columns, this.accelerationMost);
    mostOf(this.surplus, this.columns, this.surplusMost);
    this.surplusSum = this.surplusMost.reduce((sum, most) => sum + most, 0);
  }

  /** Empties the block but for what the next one takes over. */
  keepSeam(): void {
    const from = this.columns - seam;
    if (from <= 0) return;
    for (const values of [this.departure, this.acceleration, this.surplus, this.places]) {
      for (let base = 0; base < values.length; base += blockLength)
        values.copyWithin(base, base + from, base + this.columns);
    }
    this.columns = seam;
  }
}

function mostOf(values: Float64Array, columns: number, most: Float64Array): void {
  for (let j = 0; j < most.length; j++) {
    let largest = 0;
    for (let k = j * blockLength; k < j * blockLength + columns; k++) {
      const size = Math.abs(values[k]!);
      if (size > largest) largest = size;
    }
    most[j] = largest;
  }
}
