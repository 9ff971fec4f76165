import type { BlockArithmetic } from './arithmetic/block-arithmetic.js';
import { blockSteps, blockWidth } from './arithmetic/block-size.js';
import type { RowEvaluation } from './arithmetic/row-evaluation.js';
import type { ModalBlock } from './modal-block.js';
import type { RowSet } from './row-sets.js';
import { stretchLength } from './train-tables.js';

/** Where the head stands at each column of a block, in samples of the static tables. */
export class HeadPositions {
  readonly indices: Int32Array;
  readonly fractions: Float64Array;
  /** Stretch of the tables at each column. */
  readonly stretches: Int32Array;
  /** Samples per column, negative where tables of the other direction are read backwards. */
  rate = 0;
  /** Position at column 0. */
  start = 0;

  constructor(arithmetic: BlockArithmetic) {
    this.indices = arithmetic.allocateIntegers(blockWidth);
    this.fractions = arithmetic.allocate(blockWidth);
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

  /** @param sets the model's */
  constructor(
    private readonly block: ModalBlock,
    private readonly sets: readonly RowSet[],
    { indices, fractions }: HeadPositions,
  ) {
    this.moving = block.arithmetic.allocate(blockWidth);
    this.total = block.arithmetic.allocate(blockWidth);
    const { moving, total } = this;
    this.row = { set: 0, member: 0, source: block.departure, moving, total, indices, fractions };
  }

  /**
   * Evaluates the columns from `from` to `to`, ends included.
   *
   * @param set which of the sets
   * @param member position of the row in it
   */
  evaluate(set: number, member: number, from: number, to: number): void {
    const { block, row } = this;
    row.set = set;
    row.member = member;
    row.source = this.sets[set]!.acceleration ? block.acceleration : block.departure;
    block.arithmetic.evaluateRow(row, from, to);
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
    const { block, row } = this;
    const { jumps } = block;
    const set = this.sets[row.set]!;
    if (!jumps || !set.acceleration) return 0;
    const head = block.headAt(column);
    const breaks = jumps.breaks;
    const count = breaks.positions.length;
    let sum = 0;
    for (let index = 0; index < count; index++) {
      const load = jumps.jumpLoadAt(index, head);
      if (load === 0) continue;
      for (let k = 0; k < set.modes.length; k++)
        sum +=
          set.values[row.member * set.modes.length + k]! *
          breaks.jumps[set.modes[k]! * count + index]! *
          load;
    }
    return sum;
  }
}

/** Columns whose peaks a block settles; those outside have too few neighbours here and belong to the block before or after. */
export const firstSettled = 3;
export const lastSettled = blockSteps + 2;
