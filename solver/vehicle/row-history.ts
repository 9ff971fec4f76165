import type { BlockArithmetic } from '../arithmetic/block-arithmetic.js';
import type { RowSet } from '../arithmetic/row-set.js';
import { linearWithin } from '../lines/linear-interpolation.js';
import { mostOfTrain, mostWithin, type RowInfluence } from './row-influence.js';
import { blockLength, type StepBlock } from './step-block.js';

/** Wheels whose change of force moves a row by less than this share of its static peak, all together, are left out. */
const negligible = 1e-3;

/**
 * One row over the steps of a block, put together part by part for as long as it could still pass its thresholds: the static train
 * (`begin`), the modes (`addModes`), what the wheels' forces differ from their static loads by (`addSurplus`).
 */
export class RowHistory {
  /** Written by `findExtremes`; not on the near side of 0. */
  largest = 0;
  smallest = 0;
  private readonly values: Float64Array;
  private readonly moving: Float64Array;
  /** Most that the changes of all wheels' forces can do to the row. */
  private effect = 0;
  private trainHigh = 0;
  private trainLow = 0;

  constructor(
    private readonly block: StepBlock,
    private readonly arithmetic: BlockArithmetic,
  ) {
    this.values = arithmetic.allocate(blockLength);
    this.moving = arithmetic.allocate(blockLength);
  }

  /**
   * Starts from the static train, if the row could pass its thresholds in this block: a quick bound first, one wheel by wheel where that
   * is too wide.
   *
   * @param influence null for accelerations, which have no static part
   * @param swing most that the modes do to the row
   * @returns whether it could
   */
  begin(influence: RowInfluence | null, swing: number, upper: number, lower: number): boolean {
    const { places, columns, surplusSum, surplusMost } = this.block;
    if (!influence) {
      this.values.fill(0, 0, columns);
      return swing > upper || -swing < lower;
    }
    const from = places[0]!;
    const to = places[columns - 1]!;
    const high = mostWithin(influence.trainBounds, from, to, 1) + swing;
    const low = mostWithin(influence.trainBounds, from, to, -1) - swing;
    const widest = surplusSum * influence.lineMost;
    if (high + widest <= upper && low - widest >= lower) return false;
    this.writeTrainStatics(influence);
    if (this.trainHigh + swing + widest <= upper && this.trainLow - swing - widest >= lower) return false;
    let effect = 0;
    for (let wheel = 0; wheel < surplusMost.length; wheel++) effect += this.surplusEffect(influence, wheel);
    this.effect = effect;
    return this.trainHigh + swing + effect > upper || this.trainLow - swing - effect < lower;
  }

  addModes({ values, modes, acceleration }: RowSet, member: number): void {
    const { block, moving } = this;
    const modal = acceleration ? block.acceleration : block.departure;
    this.arithmetic.contract(
      values,
      member * modes.length,
      modes,
      modes.length,
      modal,
      blockLength,
      moving,
      0,
      block.columns,
    );
    for (let b = 0; b < block.columns; b++) this.values[b]! += moving[b]!;
  }

  /** Whether static train and modes come so near to a threshold of the row that the change of the wheels' forces matters. */
  reaches(upper: number, lower: number): boolean {
    const { values, effect } = this;
    const { columns } = this.block;
    let high = values[0]!;
    let low = high;
    for (let b = 1; b < columns; b++) {
      const value = values[b]!;
      if (value > high) high = value;
      else if (value < low) low = value;
    }
    // A parabola through three samples rises above the middle one by no more than an eighth of what they differ.
    const beyond = effect + (high - low + 2 * effect) / 8;
    return high + beyond > upper || low - beyond < lower;
  }

  addSurplus(influence: RowInfluence): void {
    const { places, columns, surplus, surplusMost } = this.block;
    const wheels = surplusMost.length;
    const least = (negligible * mostOfTrain(influence)) / wheels;
    for (let wheel = 0; wheel < wheels; wheel++) {
      if (this.surplusEffect(influence, wheel) <= least) continue;
      const base = wheel * blockLength;
      for (let b = 0; b < columns; b++)
        this.values[b]! += surplus[base + b]! * linearWithin(influence.line, places[base + b]!, 0);
    }
  }

  /**
   * Largest and smallest value, 0 among them.
   *
   * @param smooth the parabola through three samples stands in for the curve between them; never across a jump
   */
  findExtremes(smooth: boolean): void {
    const { values } = this;
    const { columns } = this.block;
    let largest = 0;
    let smallest = 0;
    for (let b = 0; b < columns; b++) {
      const value = values[b]!;
      let peak = value;
      if (smooth && b > 0 && b + 1 < columns) {
        const before = values[b - 1]!;
        const after = values[b + 1]!;
        const curvature = 2 * value - before - after;
        const top = curvature > 0 && value >= before && value >= after;
        const bottom = curvature < 0 && value <= before && value <= after;
        if (top || bottom) peak = value + ((after - before) * (after - before)) / (8 * curvature);
      }
      if (peak > largest) largest = peak;
      else if (peak < smallest) smallest = peak;
    }
    this.largest = largest;
    this.smallest = smallest;
  }

  private writeTrainStatics({ train }: RowInfluence): void {
    const { places, columns } = this.block;
    let high = Number.NEGATIVE_INFINITY;
    let low = Number.POSITIVE_INFINITY;
    for (let b = 0; b < columns; b++) {
      const value = linearWithin(train, places[b]!, 0);
      this.values[b] = value;
      if (value > high) high = value;
      if (value < low) low = value;
    }
    this.trainHigh = high;
    this.trainLow = low;
  }

  /** Most that the change of one wheel's force can do to the row in this block. */
  private surplusEffect({ lineBounds }: RowInfluence, wheel: number): number {
    const { places, columns, surplusMost } = this.block;
    const from = places[wheel * blockLength]!;
    const to = places[wheel * blockLength + columns - 1]!;
    const ordinate = Math.max(mostWithin(lineBounds, from, to, 1), -mostWithin(lineBounds, from, to, -1));
    return ordinate * surplusMost[wheel]!;
  }
}
