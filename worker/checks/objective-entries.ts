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
  const count = entries.length;
  if (count === 0) return null;
  const objective = {
    rows: new Int32Array(count),
    weights: new Float64Array(count),
    offsets: new Float64Array(count),
  };
  for (let i = 0; i < count; i++) {
    const { row, weight, offset } = entries[i]!;
    objective.rows[i] = row;
    objective.weights[i] = weight;
    objective.offsets[i] = offset;
  }
  return objective;
}

/** What a row stands for: combinations of weight and offset. */
export type ObjectiveTerms = readonly { readonly weight: number; readonly offset: number }[];

/** Entries for every row of a quantity, with the same terms for each or its own. */
export function entriesFor(
  rows: readonly ResponseRow[],
  quantity: Quantity,
  terms: ObjectiveTerms | ((row: ResponseRow, index: number) => ObjectiveTerms),
): ObjectiveEntry[] {
  const entries: ObjectiveEntry[] = [];
  for (const row of rowsOf(rows, quantity))
    addEntries(entries, row, typeof terms === 'function' ? terms(rows[row]!, row) : terms);
  return entries;
}

/** Adds what one row stands for. */
export function addEntries(entries: ObjectiveEntry[], row: number, terms: ObjectiveTerms): void {
  for (const { weight, offset } of terms) entries.push({ row, weight, offset });
}

/** The terms of |response| * weight. */
export const bothWays = (weight: number): ObjectiveTerms => [
  { weight, offset: 0 },
  { weight: -weight, offset: 0 },
];
