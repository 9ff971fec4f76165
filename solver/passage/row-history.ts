import type { BlockArithmetic } from '../arithmetic/block-arithmetic.js';
import { blockSteps, blockWidth } from '../arithmetic/block-size.js';
import type { RowEvaluation } from '../arithmetic/row-evaluation.js';
import type { RowSet } from '../arithmetic/row-set.js';
import type { RowBreaks } from '../jumps/row-breaks.js';
import type { ModalBlock } from './modal-block.js';
import { type PositionTable, stretchLength } from './train-tables.js';

/** Where the head stands at each column of a block, in samples of the static tables. */
export class HeadPositions {
  readonly indices = new Int32Array(blockWidth);
  readonly fractions = new Float64Array(blockWidth);
  /** Stretch of the tables at each column. */
  readonly stretches: Int32Array;
  /** Samples per column, negative where tables of the other direction are read backwards. */
  rate = 0;
  /** Position at column 0. */
  start = 0;

  constructor(arithmetic: BlockArithmetic) {
    this.stretches = arithmetic.allocateIntegers(blockWidth);
  }

  set(start: number, rate: number): void {
    this.start = start;
    this.rate = rate;
    for (let b = 0; b < blockWidth; b++) {
      const position = start + rate * b;
      const index = Math.floor(position);
      this.indices[b] = index;
      this.fractions[b] = position - index;
      this.stretches[b] = Math.floor(index / stretchLength);
    }
  }
}

/** A row's value over a block: `moving` is the part of the modes, `total` adds the static part. */
export class RowHistory {
  readonly moving: Float64Array;
  readonly total: Float64Array;
  private readonly row: RowEvaluation;

  /**
   * @param sets the model's
   * @param rowBreaks the model's
   */
  constructor(
    private readonly block: ModalBlock,
    private readonly sets: readonly RowSet[],
    private readonly head: HeadPositions,
    private readonly rowBreaks: RowBreaks,
  ) {
    this.moving = block.arithmetic.allocate(blockWidth);
    this.total = block.arithmetic.allocate(blockWidth);
    this.row = { set: 0, member: 0, source: block.departure, moving: this.moving };
  }

  /**
   * Evaluates the columns from `from` to `to`, ends included.
   *
   * @param set which of the sets
   * @param member position of the row in it
   * @param table its static part
   */
  evaluate(set: number, member: number, table: PositionTable | null, from: number, to: number): void {
    const { block, row, moving, total } = this;
    row.set = set;
    row.member = member;
    row.source = this.sets[set]!.acceleration ? block.acceleration : block.departure;
    block.arithmetic.evaluateRow(row, from, to);
    for (let b = from; b <= to; b++) total[b] = moving[b]!;
    if (table) addStatics(table, this.head, total, from, to);
  }

  /** Whether the history jumps anywhere. */
  get jumps(): boolean {
    return this.block.jumps !== null;
  }

  /**
   * The part of the modes that jumps as an axle crosses a break of the line, at a column, which may lie between two. What is left
   * of the history without it can be interpolated.
   */
  jumpingAt(column: number): number {
    const { block, rowBreaks } = this;
    const { jumps } = block;
    if (!jumps) return 0;
    const row = this.sets[this.row.set]!.rows[this.row.member]!;
    const head = block.headAt(column);
    let sum = 0;
    for (let entry = rowBreaks.starts[row]!; entry < rowBreaks.starts[row + 1]!; entry++) {
      const jump = rowBreaks.jumps[entry]!;
      if (jump !== 0) sum += jump * jumps.jumpLoadAt(rowBreaks.breaks[entry]!, head);
    }
    return jumps.breaks.sense * sum;
  }

  /** Bound on the size of what jumpingAt tells between two columns. */
  jumpingWithin(from: number, to: number): number {
    const { block, rowBreaks } = this;
    const { jumps } = block;
    if (!jumps) return 0;
    const row = this.sets[this.row.set]!.rows[this.row.member]!;
    const [start, end] = [block.headAt(from), block.headAt(to)];
    let sum = 0;
    for (let entry = rowBreaks.starts[row]!; entry < rowBreaks.starts[row + 1]!; entry++) {
      const jump = rowBreaks.jumps[entry]!;
      if (jump !== 0) sum += Math.abs(jump) * jumps.jumpLoadWithin(rowBreaks.breaks[entry]!, start, end);
    }
    return sum;
  }
}

/** Adds the static part, straight between the samples of its table. */
function addStatics(
  { values, first }: PositionTable,
  { indices, fractions }: HeadPositions,
  total: Float64Array,
  from: number,
  to: number,
): void {
  // The train moves one way, so that the columns over the table follow each other.
  const last = values.length - 2;
  let begin = from;
  let end = to;
  while (begin <= end && (indices[begin]! < first || indices[begin]! - first > last)) begin++;
  while (begin <= end && (indices[end]! < first || indices[end]! - first > last)) end--;
  for (let b = begin; b <= end; b++) {
    const index = indices[b]! - first;
    const value = values[index]!;
    total[b]! += value + (values[index + 1]! - value) * fractions[b]!;
  }
}

/** Columns whose peaks a block settles; those outside have too few neighbours here and belong to the block before or after. */
export const firstSettled = 3;
export const lastSettled = blockSteps + 2;
