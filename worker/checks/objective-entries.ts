import type { Objective } from '../../solver/peaks/objective.js';
import { type Quantity, type ResponseRow, rowsOf } from '../../solver/rows/response-rows.js';

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

/** Of what is allowed: dead load below it has no sign, and places that mirror each other must stay alike. */
const roundOff = 1e-6;

/**
 * The term of a response that works against dead load: the share that it uses up of what dead load and the resistance allowed leave it
 * (`nearnessTo` in check.ts). None where dead load does not relieve.
 *
 * @param sign 1 where the response asks for resistance as it grows, -1 as it falls
 */
export const relievedTerms = (sign: 1 | -1, dead: number, allowed: number): ObjectiveTerms =>
  dead < -roundOff * allowed ? [{ weight: sign / (allowed - dead), offset: 0 }] : [];

/** The terms of |response| * weight. */
export const bothWays = (weight: number): ObjectiveTerms => [
  { weight, offset: 0 },
  { weight: -weight, offset: 0 },
];
