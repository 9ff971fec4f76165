import type { PositionTable } from '../train-tables.js';
import { blockWidth } from './block-size.js';
import { contract } from './contract.js';
import type { ScreenedRows } from './row-screen.js';

/** A row over a block; arrays are allocated by the arithmetic that evaluates it. */
export interface RowEvaluation {
  /** Which of the model's row sets, and place of the row in it. */
  set: number;
  member: number;
  /** modes x `blockWidth`: what the modes of the set do. */
  source: Float64Array;
  /** What they do to the row, and that with its static part. */
  readonly moving: Float64Array;
  readonly total: Float64Array;
  /** Where the head stands at each column, in samples of the static tables. */
  readonly indices: Int32Array;
  readonly fractions: Float64Array;
}

/** Evaluates the columns from `from` to `to`, ends included. */
export function evaluateRow(row: RowEvaluation, from: number, to: number, rows: ScreenedRows): void {
  const { moving, total } = row;
  const { values, modes } = rows.sets[row.set]!;
  const offset = row.member * modes.length;
  contract(values, offset, modes, modes.length, row.source, blockWidth, moving, from, to + 1);
  for (let b = from; b <= to; b++) total[b] = moving[b]!;
  const table = rows.statics[rows.sets[row.set]!.rows[row.member]!] ?? null;
  if (table) addStatics(table, row, from, to);
}

/** Adds the static part, straight between the samples of its table. */
export function addStatics(
  { values, first }: PositionTable,
  { total, indices, fractions }: RowEvaluation,
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
