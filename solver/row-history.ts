import { blockSteps, blockWidth, type ModalBlock } from './modal-block.js';
import type { RowSet } from './row-sets.js';
import { type PositionTable, stretchLength } from './train-tables.js';

/** Where the head stands at each column of a block, in samples of the static tables. */
export class HeadPositions {
  readonly indices = new Int32Array(blockWidth);
  readonly fractions = new Float64Array(blockWidth);
  /** Stretch of the tables at each column. */
  readonly stretches = new Int32Array(blockWidth);
  /** Samples per column, negative where tables of the other direction are read backwards. */
  rate = 0;
  /** Position at column 0. */
  start = 0;

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
  readonly moving = new Float64Array(blockWidth);
  readonly total = new Float64Array(blockWidth);

  /**
   * Evaluates the columns from `from` to `to`, ends included.
   *
   * @param member position of the row in its set
   */
  evaluate(
    set: RowSet,
    member: number,
    block: ModalBlock,
    table: PositionTable | null,
    head: HeadPositions,
    from: number,
    to: number,
  ): void {
    const { moving, total } = this;
    const source = set.acceleration ? block.acceleration : block.departure;
    contract(set.values, member * set.modes.length, set.modes, source, moving, from, to + 1);
    for (let b = from; b <= to; b++) total[b] = moving[b]!;
    if (!table) return;
    const { values, first } = table;
    const last = values.length - 1;
    for (let b = from; b <= to; b++) {
      const index = head.indices[b]! - first;
      if (index < 0 || index >= last) continue;
      const value = values[index]!;
      total[b]! += value + (values[index + 1]! - value) * head.fractions[b]!;
    }
  }
}

/** target = sum over modes of values[offset + k] times the mode's columns from `from` up to `to`, four modes at a time. */
function contract(
  values: Float64Array,
  offset: number,
  modes: Int32Array,
  source: Float64Array,
  target: Float64Array,
  from: number,
  to: number,
): void {
  target.fill(0, from, to);
  const count = modes.length;
  let k = 0;
  for (; k + 3 < count; k += 4) {
    const a = values[offset + k]!;
    const b = values[offset + k + 1]!;
    const c = values[offset + k + 2]!;
    const d = values[offset + k + 3]!;
    const i = modes[k]! * blockWidth;
    const j = modes[k + 1]! * blockWidth;
    const l = modes[k + 2]! * blockWidth;
    const m = modes[k + 3]! * blockWidth;
    for (let column = from; column < to; column++) {
      target[column]! +=
        a * source[i + column]! +
        b * source[j + column]! +
        (c * source[l + column]! + d * source[m + column]!);
    }
  }
  for (; k < count; k++) {
    const a = values[offset + k]!;
    const i = modes[k]! * blockWidth;
    for (let column = from; column < to; column++) target[column]! += a * source[i + column]!;
  }
}

/** Columns whose peaks a block settles; those outside have too few neighbours here and belong to the block before or after. */
export const firstSettled = 3;
export const lastSettled = blockSteps + 2;
