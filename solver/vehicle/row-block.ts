import type { BlockArithmetic } from '../arithmetic/block-arithmetic.js';
import { allocateHits, type SizeScreen } from '../arithmetic/row-screen.js';
import { largestSwing, type RowSet, swingOf } from '../arithmetic/row-set.js';
import { arithmeticFor } from '../arithmetic/vector-arithmetic.js';
import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import { FreeModes } from '../peaks/free-modes.js';
import type { ObjectiveThresholds } from '../peaks/objective.js';
import type { Peaks } from '../peaks/peaks.js';
import { isAbove, isBelow } from '../peaks/ties.js';
import { isMoment } from '../rows/response-rows.js';
import type { Consist } from './consist.js';
import type { CoupledRun } from './coupled-run.js';
import {
  cellOf,
  interpolated,
  mostOfTrain,
  mostWithin,
  type RowInfluence,
  type TrainInfluence,
} from './row-influence.js';

const blockLength = 64;
/** Columns that a block takes over from the one before, so that a peak on the seam is seen from both sides. */
const seam = 2;
/** Wheels whose change of force moves a row by less than this share of its static peak, all together, are left out. */
const negligible = 1e-3;
/** The modes come from the coupled run, not from tables of forces. */
const noForces = [new Float64Array(1)];

/**
 * Peaks of all rows of a coupled run: static influence of the static wheel loads and of what the forces differ from them, plus the modes' departure from statics
 * (mode-acceleration form, as in solver/passage/passage.ts), accelerations from the modes. Steps are kept in blocks; a row is looked at only
 * in blocks whose bound can beat its peaks.
 */
export class RowBlock {
  readonly peaks: Peaks;
  private readonly model: DynamicModel;
  private readonly influence: TrainInfluence;
  private readonly arithmetic: BlockArithmetic;
  private readonly screen: SizeScreen;
  private readonly loads: Float64Array;
  private readonly thresholds: ObjectiveThresholds | null;
  private readonly upper: Float64Array;
  private readonly lower: Float64Array;
  /** w^2 q - p of each mode, as the row sets take it. */
  private readonly departure: Float64Array;
  private readonly acceleration: Float64Array;
  private readonly departureMost: Float64Array;
  private readonly accelerationMost: Float64Array;
  /** Contact forces beyond the static loads. */
  private readonly surplus: Float64Array;
  private readonly places: Float64Array;
  private readonly surplusMost: Float64Array;
  private readonly history: Float64Array;
  private readonly moving: Float64Array;
  private readonly smooth: readonly boolean[];
  private readonly freeModes: FreeModes;
  private surplusSum = 0;
  /** Most that the changes of all wheels' forces can do to the row in question. */
  private effect = 0;
  private trainHigh = 0;
  private trainLow = 0;
  private columns = 0;

  /** @param thresholds what the peaks are wanted for; null: every peak of every row */
  constructor(
    model: DynamicModel,
    influence: TrainInfluence,
    consist: Consist,
    thresholds: ObjectiveThresholds | null,
  ) {
    const wheels = consist.wheels.length;
    const modes = model.modes.shapes.length;
    this.model = model;
    this.thresholds = thresholds;
    this.influence = influence;
    const arithmetic = arithmeticFor(modes);
    arithmetic.begin(noForces, influence.screened);
    this.arithmetic = arithmetic;
    this.loads = Float64Array.from(consist.wheels, ({ load }) => load);
    this.peaks = {
      largest: new Float64Array(model.rows.length),
      smallest: new Float64Array(model.rows.length),
    };
    this.upper = this.thresholds?.upper ?? this.peaks.largest;
    this.lower = this.thresholds?.lower ?? this.peaks.smallest;
    this.history = arithmetic.allocate(blockLength);
    this.moving = arithmetic.allocate(blockLength);
    this.departure = arithmetic.allocate(modes * blockLength);
    this.acceleration = arithmetic.allocate(modes * blockLength);
    this.departureMost = arithmetic.allocate(modes);
    this.accelerationMost = arithmetic.allocate(modes);
    this.screen = screenOf(model.rowSets, model.rows.length, this.departureMost, arithmetic);
    this.surplus = new Float64Array(wheels * blockLength);
    this.places = new Float64Array(wheels * blockLength).fill(-1);
    this.surplusMost = new Float64Array(wheels);
    this.freeModes = new FreeModes(model.rowSets);
    this.smooth = model.rows.map((row) => row.direct.length === 0 || isMoment(row.quantity));
  }

  /** Takes over the state of the run at the end of a step; full blocks are evaluated. */
  record(run: CoupledRun): void {
    const b = this.columns++;
    const { modes, dampingRatios } = this.model;
    const { coordinates, velocities, modalForces } = run;
    for (let j = 0; j < coordinates.length; j++) {
      const w = modes.angularFrequencies[j]!;
      const away = w * w * coordinates[j]! - modalForces[j]!;
      this.departure[j * blockLength + b] = away;
      this.acceleration[j * blockLength + b] = -away - 2 * dampingRatios[j]! * w * velocities[j]!;
    }
    for (let wheel = 0; wheel < run.positions.length; wheel++) {
      this.surplus[wheel * blockLength + b] = run.contactForces[wheel]! - this.loads[wheel]!;
      this.places[wheel * blockLength + b] = run.positions[wheel]!;
    }
    if (this.columns === blockLength) this.evaluate();
  }

  /** Evaluates what is in the block. */
  evaluate(): void {
    this.takeMost();
    for (let index = 0; index < this.model.rowSets.length; index++) {
      const set = this.model.rowSets[index]!;
      const modalMost = set.acceleration ? this.accelerationMost : this.departureMost;
      this.thresholds?.refresh(set.rows);
      if (set.acceleration && this.cannotRise(set, modalMost)) continue;
      const found = this.findRows(index, modalMost);
      for (let hit = 0; hit < found; hit++) {
        const i = this.screen.hits[hit]!;
        const influences = this.influence.rows[set.rows[i]!] ?? null;
        const alike = influences?.largest === influences?.smallest;
        const swing = swingOf(set, i, modalMost);
        let grew = this.examine(set, i, influences?.largest ?? null, swing, alike ? 0 : 1);
        if (!alike) grew = this.examine(set, i, influences?.smallest ?? null, swing, -1) || grew;
        if (grew) this.thresholds?.refresh(set.rows);
      }
    }
    this.keepSeam();
  }

  /** Rows of a set that static train, modes and the change of the wheels' forces could carry past their thresholds, by quick bounds. */
  private findRows(index: number, modalMost: Float64Array): number {
    const { screen, places, columns, surplusSum, upper, lower } = this;
    const { lineMost } = this.influence;
    const { rows } = this.model.rowSets[index]!;
    for (let i = 0; i < rows.length; i++) {
      const row = rows[i]!;
      const widest = surplusSum * lineMost[row]!;
      screen.upper[row] = upper[row]! - widest;
      screen.lower[row] = lower[row]! + widest;
    }
    screen.stretches[0] = cellOf(places[0]!);
    screen.stretches[1] = cellOf(places[columns - 1]!);
    screen.set = index;
    screen.count = rows.length;
    screen.most = modalMost;
    return this.arithmetic.screenSizes(screen);
  }

  /**
   * Looks for peaks of a row of a set.
   *
   * @param side 1 for the largest value only, -1 for the smallest only, 0 for both
   * @returns whether any grew
   */
  private examine(
    set: RowSet,
    member: number,
    influence: RowInfluence | null,
    swing: number,
    side: -1 | 0 | 1,
  ): boolean {
    const row = set.rows[member]!;
    if (!this.mayExceed(row, influence, swing)) return false;
    if (!influence) this.history.fill(0, 0, this.columns);
    this.addModes(set, member);
    if (influence) {
      if (!this.reachesThresholds(row)) return false;
      this.addSurplus(influence);
    }
    return this.takePeaks(row, side);
  }

  /** Whether free vibration of the present size could still raise a peak; asked when no wheel is on the line. */
  canRise(run: CoupledRun): boolean {
    const { modes } = this.model;
    for (let j = 0; j < run.coordinates.length; j++) {
      const w = modes.angularFrequencies[j]!;
      const most = Math.hypot(run.coordinates[j]! * w * w, run.velocities[j]! * w);
      this.departureMost[j] = most;
      this.accelerationMost[j] = most;
    }
    const { departureMost, accelerationMost, upper, lower } = this;
    return this.freeModes.mayExceed(departureMost, accelerationMost, upper, lower);
  }

  private cannotRise(set: RowSet, modalMost: Float64Array): boolean {
    const { rows } = set;
    const swing = largestSwing(set, modalMost);
    for (let i = 0; i < rows.length; i++)
      if (swing > this.upper[rows[i]!]! || -swing < this.lower[rows[i]!]!) return false;
    return true;
  }

  private addModes({ values, modes, acceleration }: RowSet, member: number): void {
    const { columns, history, moving } = this;
    const modal = acceleration ? this.acceleration : this.departure;
    this.arithmetic.contract(
      values,
      member * modes.length,
      modes,
      modes.length,
      modal,
      blockLength,
      moving,
      0,
      columns,
    );
    for (let b = 0; b < columns; b++) history[b]! += moving[b]!;
  }

  /** Whether static train and modes come so near to a threshold of the row that the change of the wheels' forces matters. */
  private reachesThresholds(row: number): boolean {
    const { history, columns, effect } = this;
    let high = history[0]!;
    let low = high;
    for (let b = 1; b < columns; b++) {
      const value = history[b]!;
      if (value > high) high = value;
      else if (value < low) low = value;
    }
    // A parabola through three samples rises above the middle one by no more than an eighth of what they differ.
    const beyond = effect + (high - low + 2 * effect) / 8;
    return high + beyond > this.upper[row]! || low - beyond < this.lower[row]!;
  }

  /** Whether the row could pass its thresholds in this block: a quick bound first, one wheel by wheel where that is too wide. */
  private mayExceed(row: number, influence: RowInfluence | null, swing: number): boolean {
    const upper = this.upper[row]!;
    const lower = this.lower[row]!;
    if (!influence) return swing > upper || -swing < lower;
    const from = this.places[0]!;
    const to = this.places[this.columns - 1]!;
    const high = mostWithin(influence.trainBounds, from, to, 1) + swing;
    const low = mostWithin(influence.trainBounds, from, to, -1) - swing;
    const widest = this.surplusSum * influence.lineMost;
    if (high + widest <= upper && low - widest >= lower) return false;
    this.writeTrainStatics(influence);
    if (this.trainHigh + swing + widest <= upper && this.trainLow - swing - widest >= lower) return false;
    let effect = 0;
    for (let wheel = 0; wheel < this.surplusMost.length; wheel++)
      effect += this.surplusEffect(influence, wheel);
    this.effect = effect;
    return this.trainHigh + swing + effect > upper || this.trainLow - swing - effect < lower;
  }

  /** The static train's part of the row in this block, from which its history starts. */
  private writeTrainStatics({ train }: RowInfluence): void {
    let high = Number.NEGATIVE_INFINITY;
    let low = Number.POSITIVE_INFINITY;
    for (let b = 0; b < this.columns; b++) {
      const value = interpolated(train, this.places[b]!);
      this.history[b] = value;
      if (value > high) high = value;
      if (value < low) low = value;
    }
    this.trainHigh = high;
    this.trainLow = low;
  }

  /** Most that the change of one wheel's force can do to the row in this block. */
  private surplusEffect({ lineBounds }: RowInfluence, wheel: number): number {
    const from = this.places[wheel * blockLength]!;
    const to = this.places[wheel * blockLength + this.columns - 1]!;
    const ordinate = Math.max(mostWithin(lineBounds, from, to, 1), -mostWithin(lineBounds, from, to, -1));
    return ordinate * this.surplusMost[wheel]!;
  }

  private addSurplus(influence: RowInfluence): void {
    const { columns, history, places } = this;
    const wheels = this.surplusMost.length;
    const least = (negligible * mostOfTrain(influence)) / wheels;
    for (let wheel = 0; wheel < wheels; wheel++) {
      if (this.surplusEffect(influence, wheel) <= least) continue;
      const base = wheel * blockLength;
      for (let b = 0; b < columns; b++)
        history[b]! += this.surplus[base + b]! * interpolated(influence.line, places[base + b]!);
    }
  }

  /** Where the history is smooth, the parabola through three samples stands in for the curve between them; never across a jump. Returns whether any peak grew. */
  private takePeaks(row: number, side: -1 | 0 | 1): boolean {
    const { history, columns, smooth } = this;
    let largest = 0;
    let smallest = 0;
    for (let b = 0; b < columns; b++) {
      const value = history[b]!;
      let peak = value;
      if (smooth[row] && b > 0 && b + 1 < columns) {
        const before = history[b - 1]!;
        const after = history[b + 1]!;
        const curvature = 2 * value - before - after;
        const top = curvature > 0 && value >= before && value >= after;
        const bottom = curvature < 0 && value <= before && value <= after;
        if (top || bottom) peak = value + ((after - before) * (after - before)) / (8 * curvature);
      }
      if (peak > largest) largest = peak;
      else if (peak < smallest) smallest = peak;
    }
    const rises = side >= 0 && isAbove(largest, this.upper[row]!);
    const falls = side <= 0 && isBelow(smallest, this.lower[row]!);
    if (rises) {
      this.peaks.largest[row] = Math.max(this.peaks.largest[row]!, largest);
      this.thresholds?.raise(row, largest);
    }
    if (falls) {
      this.peaks.smallest[row] = Math.min(this.peaks.smallest[row]!, smallest);
      this.thresholds?.raise(row, smallest);
    }
    return rises || falls;
  }

  private takeMost(): void {
    mostOf(this.departure, this.columns, this.departureMost);
    mostOf(this.acceleration, this.columns, this.accelerationMost);
    mostOf(this.surplus, this.columns, this.surplusMost);
    this.surplusSum = this.surplusMost.reduce((sum, most) => sum + most, 0);
  }

  private keepSeam(): void {
    const from = this.columns - seam;
    if (from <= 0) return;
    for (const values of [this.departure, this.acceleration, this.surplus, this.places]) {
      for (let base = 0; base < values.length; base += blockLength)
        values.copyWithin(base, base + from, base + this.columns);
    }
    this.columns = seam;
  }
}

/** Asks about all rows of a set, on their own bounds alone. */
function screenOf(
  sets: readonly RowSet[],
  rowCount: number,
  most: Float64Array,
  arithmetic: BlockArithmetic,
): SizeScreen {
  const largest = sets.reduce((count, { rows }) => Math.max(count, rows.length), 0);
  const members = arithmetic.allocateIntegers(largest);
  for (let member = 0; member < largest; member++) members[member] = member;
  return {
    ...{ set: 0, members, first: 0, count: 0, most },
    upper: arithmetic.allocate(rowCount),
    lower: arithmetic.allocate(rowCount),
    ...{ setHigh: Number.POSITIVE_INFINITY, setLow: Number.NEGATIVE_INFINITY },
    stretches: arithmetic.allocateIntegers(2),
    ...allocateHits(arithmetic, largest),
  };
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
