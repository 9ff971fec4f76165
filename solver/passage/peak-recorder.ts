import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import { type BreakForces, columnOf } from '../jumps/break-forces.js';
import { type Crossings, firstFrom } from '../jumps/crossings.js';
import { entryOf } from '../jumps/row-breaks.js';
import type { Peaks } from '../peaks/peaks.js';
import type { RowThresholds } from '../peaks/row-thresholds.js';
import { isAbove, isBelow } from '../peaks/ties.js';
import type { ModalBlock } from './modal-block.js';
import { movingAtKink, peakBetweenSamples } from './peak-between-samples.js';
import type { HeadPositions, RowHistory } from './row-history.js';
import type { PositionTable } from './train-tables.js';

/** Columns; just before and just after a jump. */
const sides = [-1e-6, 1e-6];
/** The crest that a parabola finds beside a local maximum of the samples may be this much too low; more where forces jump. */
const smoothMargin = 0.01;
const jumpMargin = 0.1;

/** Finds the peaks of evaluated rows beyond their thresholds, between the columns too, and keeps them. */
export class PeakRecorder {
  readonly peaks: Peaks;
  private readonly crestMargin: number;

  /**
   * @param thresholds of every row of the model
   * @param move of the train in a step, m
   */
  constructor(
    private readonly model: DynamicModel,
    private readonly block: ModalBlock,
    private readonly history: RowHistory,
    private readonly head: HeadPositions,
    private readonly thresholds: RowThresholds,
    private readonly move: number,
  ) {
    const rows = model.rows.length;
    this.peaks = { largest: new Float64Array(rows), smallest: new Float64Array(rows) };
    this.crestMargin = block.jumps ? jumpMargin : smoothMargin;
  }

  /**
   * Looks at the row that has been evaluated last.
   *
   * @param table its static part
   * @param from first column whose peaks are wanted, `to` the last
   */
  recordPeaks(row: number, table: PositionTable | null, from: number, to: number): void {
    const { breaks } = this.block;
    this.recordCrests(row, table, from, to);
    if (table?.crossings) this.recordCrossings(row, table.crossings, from - 0.5, to + 0.5);
    if (!table && breaks) this.recordKinks(row, breaks, from - 0.5, to + 0.5);
  }

  /** Accelerations follow the force on the modes: where an axle crosses a break they have a kink, and where forces jump two sides. */
  private recordKinks(row: number, { crossings }: BreakForces, from: number, to: number): void {
    const { block, history, move } = this;
    const { rowBreaks } = this.model;
    for (let n = 0; n < crossings.length; n++) {
      const crossing = crossings[n]!;
      const column = columnOf(crossing);
      if (column <= from || column > to) continue;
      const entry = entryOf(rowBreaks, row, crossing.index);
      if (entry < 0) continue;
      const kink = rowBreaks.kinks[entry]! * crossing.load * move;
      if (!this.mayRise(row, Math.floor(column), kink)) continue;
      if (!block.jumps) this.record(row, movingAtKink(history, column, -kink));
      else for (const side of sides) this.record(row, movingAtKink(history, column + side, -kink));
    }
  }

  /**
   * Whether movingAtKink between a column and the next could pass a threshold: the weights of its quintic add up to 1.4 in size, so that it
   * leaves the samples by less than half of what they differ, and of what jumps it takes out that much and puts in as much as there is.
   */
  private mayRise(row: number, column: number, kink: number): boolean {
    const { history } = this;
    const { upper, lower } = this.thresholds;
    const { total } = history;
    let high = total[column - 2]!;
    let low = high;
    for (let b = column - 1; b <= column + 3; b++) {
      if (total[b]! > high) high = total[b]!;
      else if (total[b]! < low) low = total[b]!;
    }
    const jumping = history.jumpingWithin(column - 2, column + 3);
    const slack = (high - low) / 2 + Math.abs(kink) + 2.5 * jumping;
    return high + slack > upper[row]! || low - slack < lower[row]!;
  }

  /** What the modes do is smooth where an axle crosses a jump of the row; the static part has its values of both sides from the table. */
  private recordCrossings(row: number, crossings: Crossings, from: number, to: number): void {
    const { head, history, move } = this;
    const { heads, highs, lows, kinks } = crossings;
    const ends = [head.start + head.rate * from, head.start + head.rate * to];
    const last = Math.max(...ends);
    for (let k = firstFrom(heads, Math.min(...ends)); k < heads.length && heads[k]! <= last; k++) {
      const moving = movingAtKink(history, (heads[k]! - head.start) / head.rate, kinks[k]! * move);
      this.record(row, moving + highs[k]!);
      this.record(row, moving + lows[k]!);
    }
  }

  private recordCrests(row: number, table: PositionTable | null, from: number, to: number): void {
    // The highest and the lowest sample first: most other crests then stay below what is known.
    const first = this.nextCrest(row, from, to);
    if (first > to) return;
    const { total } = this.history;
    let highest = first;
    let lowest = first;
    for (let b = first; b <= to; b = this.nextCrest(row, b + 1, to)) {
      if (total[b]! > total[highest]!) highest = b;
      if (total[b]! < total[lowest]!) lowest = b;
    }
    this.recordCrest(row, table, highest);
    if (lowest !== highest) this.recordCrest(row, table, lowest);
    for (let b = this.nextCrest(row, first, to); b <= to; b = this.nextCrest(row, b + 1, to))
      if (b !== highest && b !== lowest) this.recordCrest(row, table, b);
  }

  /** Looks for the peak around a column, if it is a local maximum or minimum whose crest may pass a threshold. */
  private recordCrest(row: number, table: PositionTable | null, column: number): void {
    const { crestMargin, head, history } = this;
    const { total } = history;
    const value = total[column]!;
    const before = total[column - 1]!;
    const after = total[column + 1]!;
    const curvature = 2 * value - before - after;
    const isHigh = value >= before && value >= after;
    const isLow = value <= before && value <= after;
    if (isHigh === isLow) return;
    const crest = curvature === 0 ? value : value + (after - before) ** 2 / (8 * curvature);
    if (isHigh && crest + crestMargin * Math.abs(crest) > this.thresholds.upper[row]!)
      this.record(row, peakBetweenSamples(history, table, head, column, 1));
    else if (isLow && crest - crestMargin * Math.abs(crest) < this.thresholds.lower[row]!)
      this.record(row, -peakBetweenSamples(history, table, head, column, -1));
  }

  private nextCrest(row: number, from: number, to: number): number {
    const { block, history, crestMargin } = this;
    const { upper, lower } = this.thresholds;
    return block.arithmetic.nextCrest(history.total, from, to, upper[row]!, lower[row]!, crestMargin);
  }

  private record(row: number, value: number): void {
    const { peaks, thresholds } = this;
    const { upper, lower } = thresholds;
    if (isAbove(value, upper[row]!)) {
      peaks.largest[row] = Math.max(peaks.largest[row]!, value);
      thresholds.raise(row, value);
    } else if (isBelow(value, lower[row]!)) {
      peaks.smallest[row] = Math.min(peaks.smallest[row]!, value);
      thresholds.raise(row, value);
    }
  }
}
