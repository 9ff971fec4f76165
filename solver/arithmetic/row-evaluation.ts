import { blockWidth } from './block-size.js';
import { contract } from './contract.js';
import type { ScreenedRows } from './row-screen.js';

/** What the modes do to a row over a block; arrays are allocated by the arithmetic that evaluates it. */
export interface RowEvaluation {
  /** Which of the model's row sets, and place of the row in it. */
  set: number;
  member: number;
  /** modes x `blockWidth`: what the modes of the set do. */
  source: Float64Array;
  readonly moving: Float64Array;
}

/** Evaluates the columns from `from` to `to`, ends included. */
export function evaluateRow(row: RowEvaluation, from: number, to: number, { sets }: ScreenedRows): void {
  const { values, modes } = sets[row.set]!;
  const offset = row.member * modes.length;
  contract(values, offset, modes, modes.length, row.source, blockWidth, row.moving, from, to + 1);
}
