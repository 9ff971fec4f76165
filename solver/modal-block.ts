import { BreakForces } from './break-forces.js';
import { cubicWeights } from './cubic-interpolation.js';
import type { DynamicModel } from './dynamic-model.js';
import { localBounds, toLocal } from './local-coordinates.js';
import { coefficientsPerMode, recurrenceCoefficients } from './recurrence.js';
import { hasJumps } from './residual-lines.js';
import { type TrainTables, tablePadding } from './train-tables.js';

/** New time steps per block. */
export const blockSteps = 64;
/** Columns carried over from the block before, so that a peak on the seam has three neighbours on either side. */
export const seam = 6;
/** Columns per mode. */
export const blockWidth = blockSteps + seam;

/**
 * The modes over one block of time steps: departure from statics e = w^2 q - p, or w^2 q itself where forces jump (see
 * residual-lines.ts), and acceleration a = q'' = p - w^2 q - 2 zeta w q',
 * mode by mode, `blockWidth` columns each. Starts at rest as the head enters the line.
 */
export class ModalBlock {
  readonly departure: Float64Array;
  readonly acceleration: Float64Array;
  /** The modes themselves; the same arrays where the model has no local coordinates. */
  private readonly modalDeparture: Float64Array;
  private readonly modalAcceleration: Float64Array;
  private readonly amplitudes: Float64Array;
  /** Bounds on the size of each mode in this block, between the samples too. */
  readonly departureMost: Float64Array;
  readonly accelerationMost: Float64Array;
  /** Bounds on the second difference of each mode from column to column. */
  readonly departureBend: Float64Array;
  readonly accelerationBend: Float64Array;
  private readonly count: number;
  private readonly coefficients: Float64Array;
  private readonly swell: Float64Array;
  private readonly state: Float64Array;
  private readonly forces = new Float64Array(blockSteps + 3);
  private readonly indices = new Int32Array(blockSteps + 3);
  /** Null where the forces have no jumps. */
  readonly jumps: BreakForces | null;
  private readonly breaks: BreakForces | null;
  private done = 0;
  private readonly weights = new Float64Array(4 * (blockSteps + 3));

  constructor(
    private readonly model: DynamicModel,
    private readonly tables: TrainTables,
    private readonly timeStep: number,
    /** Table samples per time step. */
    private readonly travel: number,
  ) {
    const w = model.modes.angularFrequencies;
    this.count = w.length;
    this.breaks =
      tables.breaks &&
      new BreakForces(
        tables.breaks,
        tables.axlePositions,
        tables.axleLoads,
        travel * tables.step,
        timeStep,
        blockSteps + 3,
      );
    this.jumps = hasJumps(tables.breaks) ? this.breaks : null;
    this.modalDeparture = new Float64Array(this.count * blockWidth);
    this.modalAcceleration = new Float64Array(this.count * blockWidth);
    this.departure = model.local ? new Float64Array(this.count * blockWidth) : this.modalDeparture;
    this.acceleration = model.local ? new Float64Array(this.count * blockWidth) : this.modalAcceleration;
    this.amplitudes = new Float64Array(this.count);
    this.departureMost = new Float64Array(this.count);
    this.accelerationMost = new Float64Array(this.count);
    this.departureBend = new Float64Array(this.count);
    this.accelerationBend = new Float64Array(this.count);
    this.coefficients = new Float64Array(this.count * coefficientsPerMode);
    this.swell = new Float64Array(this.count);
    this.state = new Float64Array(2 * this.count);
    for (let j = 0; j < this.count; j++) {
      const ratio = model.dampingRatios[j]!;
      recurrenceCoefficients(w[j]!, ratio, timeStep, this.coefficients, j * coefficientsPerMode);
      // A sine's crest midway between two samples stands above them by this factor.
      this.swell[j] = 1 / Math.cos(Math.min(1, (w[j]! * timeStep) / 2));
    }
    // A combination of modes swells no more than the fastest of them.
    for (const { members } of model.local ?? [])
      this.swell.fill(this.swell[members.at(-1)!]!, members[0]!, members.at(-1)! + 1);
  }

  /** Advances by `blockSteps` steps from step `done`. */
  advance(done: number): void {
    const { tables, indices, weights, travel } = this;
    this.done = done;
    const last = tables.count + tablePadding;
    for (let b = 0; b < blockSteps + 3; b++) {
      const position = (done - 1 + b) * travel;
      const index = Math.max(0, Math.min(last, Math.floor(position)));
      indices[b] = index;
      if (position < 0) weights.fill(0, 4 * b, 4 * b + 4);
      else cubicWeights(Math.min(1, position - index), weights, 4 * b);
    }
    this.breaks?.prepare(done);
    for (let j = 0; j < this.count; j++) this.advanceMode(j);
    const { local } = this.model;
    if (local) {
      toLocal(local, this.modalDeparture, blockWidth, this.departure);
      toLocal(local, this.modalAcceleration, blockWidth, this.acceleration);
    }
    for (let j = 0; j < this.count; j++) this.boundCoordinate(j);
  }

  /** Way of the head from the start of the line at a column, which may lie between two, m. */
  headAt(column: number): number {
    return (this.done - seam + 1 + column) * this.travel * this.tables.step;
  }

  /**
   * Largest size that each mode can still reach once no force acts: the amplitude of its decaying free vibration, as it was four
   * columns ago, where the unsettled columns begin.
   */
  freeAmplitudes(departure: Float64Array, acceleration: Float64Array): void {
    const { local } = this.model;
    const amplitudes = local ? this.amplitudes : departure;
    for (let j = 0; j < this.count; j++) {
      const z = this.model.dampingRatios[j]!;
      const g = this.state[2 * j]!;
      const u = this.state[2 * j + 1]!;
      amplitudes[j] =
        Math.hypot(g, (u + z * g) / Math.sqrt(1 - z * z)) *
        Math.exp(4 * z * this.model.modes.angularFrequencies[j]! * this.timeStep);
    }
    if (local) localBounds(local, amplitudes, departure);
    acceleration.set(departure);
  }

  private advanceMode(j: number): void {
    const { modalDeparture: departure, modalAcceleration: acceleration } = this;
    const { coefficients, forces, indices, weights, state } = this;
    const table = this.tables.smoothForces[j]!;
    for (let b = 0; b < blockSteps + 3; b++) {
      const index = indices[b]!;
      const weight = 4 * b;
      forces[b] =
        weights[weight]! * table[index]! +
        weights[weight + 1]! * table[index + 1]! +
        weights[weight + 2]! * table[index + 2]! +
        weights[weight + 3]! * table[index + 3]!;
    }
    this.breaks?.addForces(j, forces);
    const added =
      this.breaks?.correct(
        j,
        this.model.modes.angularFrequencies[j]!,
        this.model.dampingRatios[j]!,
        coefficients,
      ) === true
        ? this.breaks
        : null;
    const base = j * blockWidth;
    const first = j * coefficientsPerMode;
    const twoZeta = 2 * this.model.dampingRatios[j]!;
    const a0 = coefficients[first]!;
    const a1 = coefficients[first + 1]!;
    const a2 = coefficients[first + 2]!;
    const a3 = coefficients[first + 3]!;
    const a4 = coefficients[first + 4]!;
    const a5 = coefficients[first + 5]!;
    const b0 = coefficients[first + 6]!;
    const b1 = coefficients[first + 7]!;
    const b2 = coefficients[first + 8]!;
    const b3 = coefficients[first + 9]!;
    const b4 = coefficients[first + 10]!;
    const b5 = coefficients[first + 11]!;
    const departed = this.jumps ? 0 : 1;
    departure.copyWithin(base, base + blockSteps, base + blockWidth);
    acceleration.copyWithin(base, base + blockSteps, base + blockWidth);
    let g = state[2 * j]!;
    let u = state[2 * j + 1]!;
    let p0 = forces[0]!;
    let p1 = forces[1]!;
    let p2 = forces[2]!;
    for (let b = 0; b < blockSteps; b++) {
      const p3 = forces[b + 3]!;
      const next = a0 * g + a1 * u + (a2 * p0 + a3 * p1 + (a4 * p2 + a5 * p3));
      u = b0 * g + b1 * u + (b2 * p0 + b3 * p1 + (b4 * p2 + b5 * p3));
      g = next;
      if (added) {
        g += added.addedG[b]!;
        u += added.addedU[b]!;
      }
      const second = p2 - g - twoZeta * u;
      const away = g - departed * p2;
      departure[base + seam + b] = away;
      acceleration[base + seam + b] = second;
      p0 = p1;
      p1 = p2;
      p2 = p3;
    }
    state[2 * j] = g;
    state[2 * j + 1] = u;
  }

  /** In one walk over the columns: sizes and second differences of both histories. */
  private boundCoordinate(j: number): void {
    const { departure, acceleration } = this;
    const base = j * blockWidth;
    let away = departure[base]!;
    let nextAway = departure[base + 1]!;
    let second = acceleration[base]!;
    let nextSecond = acceleration[base + 1]!;
    let awayMost = Math.max(Math.abs(away), Math.abs(nextAway));
    let secondMost = Math.max(Math.abs(second), Math.abs(nextSecond));
    let awayBend = 0;
    let secondBend = 0;
    for (let b = base + 2; b < base + blockWidth; b++) {
      const laterAway = departure[b]!;
      const laterSecond = acceleration[b]!;
      awayMost = Math.max(awayMost, Math.abs(laterAway));
      secondMost = Math.max(secondMost, Math.abs(laterSecond));
      awayBend = Math.max(awayBend, Math.abs(away - 2 * nextAway + laterAway));
      secondBend = Math.max(secondBend, Math.abs(second - 2 * nextSecond + laterSecond));
      away = nextAway;
      nextAway = laterAway;
      second = nextSecond;
      nextSecond = laterSecond;
    }
    const swell = this.swell[j]!;
    this.departureMost[j] = awayMost * swell;
    this.accelerationMost[j] = secondMost * swell;
    // In a sine the second derivative stands above the second difference by less than the square of its crest's factor.
    this.departureBend[j] = awayBend * swell * swell;
    this.accelerationBend[j] = secondBend * swell * swell;
  }
}
