import { blockSteps, blockWidth } from './arithmetic/block-size.js';
import type { ModalBlock } from './modal-block.js';
import { firstSettled, type HeadPositions } from './row-history.js';
import { largestSwing, type RowSet, swingOf } from './row-sets.js';
import type { PositionTable, StretchBounds } from './train-tables.js';

/** Shares of the rows' thresholds that the bound may be loose by, for leaving out weak modes and for leaving out columns. */
const modeShare = 0.05;
const columnShare = 0.15;
/** Columns; short enough to tell which part of a block matters. */
const longestStride = 16;
/** A bound that costs more than this share of the row itself is not worth it. */
const worthwhile = 1 / 3;
/** From this stride on it pays to look up the static bound between two columns on its own. */
const refinedStride = 8;

/**
 * Tells which rows of a set may exceed their thresholds in a block, by an upper bound that costs little: the strong modes at every
 * few columns, plus what the other modes could add at most, plus what lies between the columns at most (an eighth of the
 * second difference over the stride).
 */
export class BlockScreen {
  private readonly chosen: Int32Array;
  private readonly samples: Float64Array;
  private readonly contributions: Float64Array;
  /** Of the chosen modes, for one row. */
  private readonly weights: Float64Array;
  private readonly places: Int32Array;
  private readonly history: Float64Array;
  /** Columns in question after `mayExceed`. */
  from = 0;
  to = 0;
  private chosenCount = 0;
  private stride = 1;
  private direct = false;
  private slack = 0;
  private swing = 0;
  private threshold = 0;
  /** Static part of every row of the set, at most and at least. */
  private setHigh = 0;
  private setLow = 0;

  constructor(private readonly block: ModalBlock) {
    const modeCount = block.departureMost.length;
    this.chosen = new Int32Array(modeCount);
    this.contributions = new Float64Array(modeCount);
    this.weights = new Float64Array(modeCount);
    this.places = Int32Array.from({ length: modeCount }, (_, c) => c);
    this.samples = block.arithmetic.allocate(modeCount * (blockSteps + 1));
    this.history = block.arithmetic.allocate(blockSteps + 1);
  }

  /**
   * Prepares a set.
   * @param threshold size that matters in its rows; the bound is made as loose as a small share of this allows
   */
  prepare(set: RowSet, threshold: number): void {
    this.swing = largestSwing(set, this.mostOf(set));
    this.stride = 0;
    this.threshold = threshold;
  }

  private mostOf({ acceleration }: RowSet): Float64Array {
    return acceleration ? this.block.accelerationMost : this.block.departureMost;
  }

  /** Gathers the strong modes at the stride; once per set and block, and only when some row needs it. */
  private gather(set: RowSet): void {
    const { block, chosen, samples } = this;
    const most = this.mostOf(set);
    const source = set.acceleration ? block.acceleration : block.departure;
    const bending = largestSwing(set, set.acceleration ? block.accelerationBend : block.departureBend);
    let stride = 1;
    while (stride < longestStride && (bending * stride * stride * 4) / 8 <= columnShare * this.threshold)
      stride *= 2;
    // Beside a jump a row may stand by the whole second difference above its samples.
    let slack = bending * (block.jumps && stride === 1 ? 1 : (stride * stride) / 8);
    const { contributions } = this;
    const modeCount = set.modes.length;
    for (let k = 0; k < modeCount; k++) contributions[k] = set.most[k]! * most[set.modes[k]!]!;
    // Modes no stronger than a level are left out; the level falls until their sum keeps to its share.
    const budget = modeShare * this.threshold;
    let level = budget;
    let left = 0;
    do {
      level /= 2;
      left = 0;
      for (let k = 0; k < modeCount; k++) if (contributions[k]! <= level) left += contributions[k]!;
    } while (left > budget);
    slack += left;
    let count = 0;
    for (let k = 0; k < modeCount; k++) if (contributions[k]! > level) chosen[count++] = k;
    const columns = blockSteps / stride + 1;
    this.chosenCount = count;
    this.stride = stride;
    this.slack = slack;
    this.direct = columns * count > worthwhile * blockWidth * modeCount;
    if (this.direct) return;
    for (let c = 0; c < count; c++) {
      const base = set.modes[chosen[c]!]! * blockWidth + firstSettled;
      for (let column = 0; column < columns; column++)
        samples[c * columns + column] = source[base + column * stride]!;
    }
  }

  /** Whether any row of the prepared set may exceed the smallest threshold of its rows, judged by the bounds over all of them. */
  setMayExceed(bounds: StretchBounds | null, head: HeadPositions, upper: number, lower: number): boolean {
    this.setHigh = bounds ? mostOver(bounds, bounds.highs, 1, head, 0, blockWidth - 1) : 0;
    this.setLow = bounds ? -mostOver(bounds, bounds.lows, -1, head, 0, blockWidth - 1) : 0;
    return this.setHigh + this.swing > upper || this.setLow - this.swing < lower;
  }

  /**
   * Whether a row of a set that may exceed something reaches above `upper` or below `lower` in this block, as far as bounds tell; if so,
   * `from` and `to` are set to the first and last column in question.
   */
  mayExceed(
    set: RowSet,
    member: number,
    upper: number,
    lower: number,
    table: PositionTable | null,
    head: HeadPositions,
  ): boolean {
    const { setHigh, setLow } = this;
    if (setHigh + this.swing <= upper && setLow - this.swing >= lower) return false;
    const swing = swingOf(set, member, this.mostOf(set));
    if (setHigh + swing <= upper && setLow - swing >= lower) return false;
    let high = 0;
    let low = 0;
    if (table) {
      high = mostOver(table, table.highs, 1, head, 0, blockWidth - 1);
      low = -mostOver(table, table.lows, -1, head, 0, blockWidth - 1);
    }
    if (high + swing <= upper && low - swing >= lower) return false;
    if (this.stride === 0) this.gather(set);
    if (this.direct) {
      this.from = firstSettled;
      this.to = blockSteps + firstSettled;
      return true;
    }
    const { history, stride, slack } = this;
    const columns = blockSteps / stride + 1;
    this.contractSamples(set, member, columns);
    let first = -1;
    let last = -1;
    for (let column = 0; column + 1 < columns; column++) {
      const top = Math.max(history[column]!, history[column + 1]!) + slack;
      const bottom = Math.min(history[column]!, history[column + 1]!) - slack;
      if (top + high <= upper && bottom + low >= lower) continue;
      if (table && stride >= refinedStride) {
        const begin = firstSettled + column * stride;
        const end = begin + stride;
        if (
          top + mostOver(table, table.highs, 1, head, begin, end) <= upper &&
          bottom - mostOver(table, table.lows, -1, head, begin, end) >= lower
        )
          continue;
      }
      if (first < 0) first = column;
      last = column;
    }
    if (first < 0) return false;
    this.from = firstSettled + first * stride;
    this.to = firstSettled + (last + 1) * stride;
    return true;
  }

  private contractSamples(set: RowSet, member: number, columns: number): void {
    const { block, chosen, chosenCount, weights, places, samples, history } = this;
    const from = member * set.modes.length;
    for (let c = 0; c < chosenCount; c++) weights[c] = set.values[from + chosen[c]!]!;
    block.arithmetic.contract(weights, 0, places, chosenCount, samples, columns, history, 0, columns);
  }
}

/** Largest of `sign` times the bounds while the head passes from one column to another. */
function mostOver(
  { firstStretch }: StretchBounds,
  bounds: Float64Array,
  sign: number,
  head: HeadPositions,
  fromColumn: number,
  toColumn: number,
): number {
  const a = head.stretches[fromColumn]! - firstStretch;
  const b = head.stretches[toColumn]! - firstStretch;
  const from = Math.min(a, b);
  const to = Math.max(a, b);
  const last = bounds.length - 1;
  let most = from < 0 || to > last ? 0 : Number.NEGATIVE_INFINITY;
  for (let stretch = Math.max(0, from); stretch <= to && stretch <= last; stretch++) {
    const value = sign * bounds[stretch]!;
    if (value > most) most = value;
  }
  return most;
}
