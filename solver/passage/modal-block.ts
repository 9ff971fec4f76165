import type { BlockArithmetic, ModePair } from '../arithmetic/block-arithmetic.js';
import { blockSteps, blockWidth, forceSamples, seam } from '../arithmetic/block-size.js';
import { coefficientsPerMode, recurrenceCoefficients } from '../arithmetic/recurrence.js';
import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import { BreakForces } from '../jumps/break-forces.js';
import { hasJumps } from '../jumps/force-breaks.js';
import { cubicWeights } from '../lines/cubic-interpolation.js';
import { type LocalCoordinates, localBounds } from '../modes/local-coordinates.js';
import { type TrainTables, tablePadding } from './train-tables.js';

/**
 * The modes over one block of time steps: departure from statics e = w^2 q - p, or w^2 q itself where forces jump (see
 * jumps/passage-lines.ts), and acceleration a = q'' = p - w^2 q - 2 zeta w q',
 * mode by mode, `blockWidth` columns each. Starts at rest as the head enters the line.
 */
export class ModalBlock {
  readonly departure: Float64Array;
  readonly acceleration: Float64Array;
  /** The modes themselves; the same arrays where the model has no local coordinates. */
  private readonly modalDeparture: Float64Array;
  private readonly modalAcceleration: Float64Array;
  /** None where the model has no local coordinates. */
  private readonly groups: LocalCoordinates;
  private readonly amplitudes: Float64Array;
  /** Bounds on the size of each mode in this block, between the samples too. */
  readonly departureMost: Float64Array;
  readonly accelerationMost: Float64Array;
  /** Bounds on the second difference of each mode from column to column. */
  readonly departureBend: Float64Array;
  readonly accelerationBend: Float64Array;
  private readonly count: number;
  private readonly pair: ModePair;
  private readonly sizes: Float64Array;
  private readonly bends: Float64Array;
  private readonly swell: Float64Array;
  private readonly indices: Int32Array;
  /** Null where the forces have no jumps. */
  readonly jumps: BreakForces | null;
  /** Null where the line has no breaks. */
  readonly breaks: BreakForces | null;
  private done = 0;
  private readonly weights: Float64Array;

  constructor(
    private readonly model: DynamicModel,
    private readonly tables: TrainTables,
    private readonly timeStep: number,
    /** Table samples per time step. */
    private readonly travel: number,
    /** Begun anew; what is read of the block's histories goes through it too. */
    readonly arithmetic: BlockArithmetic,
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
        forceSamples,
      );
    this.jumps = hasJumps(tables.breaks) ? this.breaks : null;
    // The arithmetic takes two modes at once: an odd one is followed by nothing at rest.
    const even = this.count + (this.count % 2);
    const histories = () => arithmetic.allocate(even * blockWidth);
    this.modalDeparture = histories();
    this.modalAcceleration = histories();
    this.groups = (model.local ?? []).map((group) => {
      const rotation = arithmetic.allocate(group.rotation.length);
      rotation.set(group.rotation);
      return { ...group, rotation };
    });
    this.departure = model.local ? histories() : this.modalDeparture;
    this.acceleration = model.local ? histories() : this.modalAcceleration;
    this.indices = arithmetic.allocateIntegers(forceSamples);
    this.weights = arithmetic.allocate(4 * forceSamples);
    this.sizes = arithmetic.allocate(even);
    this.bends = arithmetic.allocate(even);
    this.amplitudes = new Float64Array(this.count);
    this.departureMost = arithmetic.allocate(this.count);
    this.accelerationMost = arithmetic.allocate(this.count);
    this.departureBend = new Float64Array(this.count);
    this.accelerationBend = new Float64Array(this.count);
    this.pair = {
      coefficients: arithmetic.allocate(even * coefficientsPerMode),
      state: arithmetic.allocate(2 * even),
      twoZeta: arithmetic.allocate(even),
      forces: arithmetic.allocate(2 * forceSamples),
      added: arithmetic.allocate(4 * blockSteps),
      adds: false,
      departed: this.jumps ? 0 : 1,
      departure: this.modalDeparture,
      acceleration: this.modalAcceleration,
    };
    this.swell = new Float64Array(this.count);
    for (let j = 0; j < this.count; j++) {
      const ratio = model.dampingRatios[j]!;
      recurrenceCoefficients(w[j]!, ratio, timeStep, this.pair.coefficients, j * coefficientsPerMode);
      this.pair.twoZeta[j] = 2 * ratio;
      // A sine's crest midway between two samples stands above them by this factor.
      this.swell[j] = 1 / Math.cos(Math.min(1, (w[j]! * timeStep) / 2));
    }
    // A combination of modes swells no more than the fastest of them.
    for (const { first, count } of this.groups)
      this.swell.fill(this.swell[first + count - 1]!, first, first + count);
  }

  /** Advances by `blockSteps` steps from step `done`. */
  advance(done: number): void {
    const { tables, indices, weights, travel } = this;
    this.done = done;
    const last = tables.count + tablePadding;
    for (let b = 0; b < forceSamples; b++) {
      const position = (done - 1 + b) * travel;
      const index = Math.max(0, Math.min(last, Math.floor(position)));
      indices[b] = index;
      if (position < 0) weights.fill(0, 4 * b, 4 * b + 4);
      else cubicWeights(Math.min(1, position - index), weights, 4 * b);
    }
    this.breaks?.prepare(done);
    for (let first = 0; first < this.count; first += 2) this.advancePair(first);
    for (const { first, count, rotation } of this.groups) {
      this.arithmetic.rotate(rotation, first, count, this.modalDeparture, this.departure);
      this.arithmetic.rotate(rotation, first, count, this.modalAcceleration, this.acceleration);
    }
    this.bound(this.departure, this.departureMost, this.departureBend);
    this.bound(this.acceleration, this.accelerationMost, this.accelerationBend);
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
      const g = this.pair.state[2 * j]!;
      const u = this.pair.state[2 * j + 1]!;
      amplitudes[j] =
        Math.hypot(g, (u + z * g) / Math.sqrt(1 - z * z)) *
        Math.exp(4 * z * this.model.modes.angularFrequencies[j]! * this.timeStep);
    }
    if (local) localBounds(local, amplitudes, departure);
    acceleration.set(departure);
  }

  private advancePair(first: number): void {
    const { pair, breaks, arithmetic } = this;
    arithmetic.sampleForces(first, this.indices, this.weights, pair.forces);
    if (breaks) {
      this.addBreaks(breaks, first, 0);
      if (first + 1 < this.count) this.addBreaks(breaks, first + 1, 1);
    }
    arithmetic.advance(pair, first);
    if (!pair.adds) return;
    pair.added.fill(0);
    pair.adds = false;
  }

  /** @param which 0 or 1: the place of the mode in its pair */
  private addBreaks(breaks: BreakForces, mode: number, which: 0 | 1): void {
    const { pair } = this;
    const w = this.model.modes.angularFrequencies[mode]!;
    const z = this.model.dampingRatios[mode]!;
    breaks.addForces(mode, pair.forces, which);
    if (breaks.correct(mode, w, z, pair.coefficients, pair.added, which)) pair.adds = true;
  }

  /**
   * Bounds on sizes and second differences, between the samples too: in a sine the crest stands above the samples by its factor, and the
   * second derivative above the second difference by less than the square of it.
   */
  private bound(histories: Float64Array, most: Float64Array, bend: Float64Array): void {
    const { sizes, bends, swell } = this;
    this.arithmetic.bound(histories, this.count, sizes, bends);
    for (let j = 0; j < this.count; j++) {
      most[j] = sizes[j]! * swell[j]!;
      bend[j] = bends[j]! * swell[j]! * swell[j]!;
    }
  }
}
