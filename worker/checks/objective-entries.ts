import type { Objective } from '../../solver/objective.js';
import { type Quantity, type ResponseRow, rowsOf } from '../../solver/response-rows.js';

/** One term of an objective: offset + weight * response, in whatever unit makes the terms comparable. */
export interface ObjectiveEntry {
  readonly row: number;
  readonly weight: number;
  readonly offset: number;
}

/** Null for a group without entries. */
export function objectiveOf(entries: readonly ObjectiveEntry[]): Objective | null {
  if (entries.length === 0) return null;
  return {
    rows: Int32Array.from(entries, (entry) => entry.row),
    weights: Float64Array.from(entries, (entry) => entry.weight),
    offsets: Float64Array.from(entries, (entry) => entry.offset),
  };
}

/** Entries for every row of a quantity; `terms` says which combinations of weight and offset a row stands for. */
export function entriesFor(
  rows: readonly ResponseRow[],
  quantity: Quantity,
  terms: (row: ResponseRow, index: number) => readonly { readonly weight: number; readonly offset: number }[],
): ObjectiveEntry[] {
  const entries: ObjectiveEntry[] = [];
  for (const row of rowsOf(rows, quantity))
    for (const { weight, offset } of terms(rows[row]!, row)) entries.push({ row, weight, offset });
  return entries;
}

/** The terms of |response| * weight. */
export const bothWays = (weight: number): readonly { weight: number; offset: number }[] => [
  { weight, offset: 0 },
  { weight: -weight, offset: 0 },
];
