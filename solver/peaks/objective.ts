import type { RowSet } from '../arithmetic/row-set.js';
import type { Peaks } from './peaks.js';
import type { RowThresholds } from './row-thresholds.js';

/**
 * A group of responses of which only the worst matters: the largest over its entries and over time of
 * `offsets[i] + weights[i] * r(t)`, r being row `rows[i]`. A check |r| <= limit takes each row twice, with weights 1 / limit and
 * -1 / limit and offsets 0; a bending check takes what dead load uses up as the offset.
 */
export interface Objective {
  /** Indices into the model's rows; a row may stand in several entries and several objectives. */
  readonly rows: Int32Array;
  /** Not 0. */
  readonly weights: Float64Array;
  readonly offsets: Float64Array;
}

/** Worst value of an objective in a set of peaks. */
export function reached({ rows, weights, offsets }: Objective, peaks: Peaks): number {
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < rows.length; i++) {
    const weight = weights[i]!;
    const value = weight > 0 ? peaks.largest[rows[i]!]! : peaks.smallest[rows[i]!]!;
    most = Math.max(most, offsets[i]! + weight * value);
  }
  return most;
}

/** Value of an objective with no train on the viaduct. */
export function atRest({ offsets }: Objective): number {
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < offsets.length; i++) most = Math.max(most, offsets[i]!);
  return most;
}

/** What is wanted of one row set. */
export interface WantedRows {
  /** Positions in the set of the rows that any objective takes. */
  readonly members: Int32Array;
  /** Objectives that take any of them. */
  readonly objectives: Int32Array;
}

/** Objectives looked up by row: the entries of row r stand from starts[r] up to starts[r + 1]. Built once for many passages. */
export class ObjectiveIndex {
  readonly starts: Int32Array;
  readonly objective: Int32Array;
  readonly weight: Float64Array;
  readonly offset: Float64Array;
  /** Value of each objective with no train on the viaduct. */
  readonly rest: Float64Array;
  /** Whether an objective takes more than one row. */
  readonly takesSeveral: Uint8Array;
  private found: { readonly sets: readonly RowSet[]; readonly wanted: readonly WantedRows[] } | null = null;

  constructor(
    readonly objectives: readonly Objective[],
    readonly rowCount: number,
  ) {
    const starts = new Int32Array(rowCount + 1);
    for (const { rows } of objectives) for (let i = 0; i < rows.length; i++) starts[rows[i]! + 1]!++;
    for (let row = 0; row < rowCount; row++) starts[row + 1]! += starts[row]!;
    const total = starts[rowCount]!;
    const next = Int32Array.from(starts);
    this.starts = starts;
    this.objective = new Int32Array(total);
    this.weight = new Float64Array(total);
    this.offset = new Float64Array(total);
    for (let index = 0; index < objectives.length; index++) {
      const { rows, weights, offsets } = objectives[index]!;
      for (let i = 0; i < rows.length; i++) {
        const place = next[rows[i]!]!++;
        this.objective[place] = index;
        this.weight[place] = weights[i]!;
        this.offset[place] = offsets[i]!;
      }
    }
    this.rest = Float64Array.from(objectives, atRest);
    this.takesSeveral = Uint8Array.from(objectives, ({ rows }) => (new Set(rows).size > 1 ? 1 : 0));
  }

  /** Worst value of each objective in a set of peaks, in their order. */
  reached(peaks: Peaks): Float64Array {
    const values = new Float64Array(this.objectives.length);
    for (let i = 0; i < values.length; i++) values[i] = reached(this.objectives[i]!, peaks);
    return values;
  }

  /** What is wanted of each of the sets; kept for the next passage over the same sets. */
  wantedOf(sets: readonly RowSet[]): readonly WantedRows[] {
    if (this.found?.sets !== sets) this.found = { sets, wanted: sets.map((set) => this.wantedOfSet(set)) };
    return this.found.wanted;
  }

  private wantedOfSet({ rows }: RowSet): WantedRows {
    const { starts, objective } = this;
    const members: number[] = [];
    const objectives = new Set<number>();
    for (let i = 0; i < rows.length; i++) {
      const end = starts[rows[i]! + 1]!;
      if (starts[rows[i]!]! === end) continue;
      members.push(i);
      for (let entry = starts[rows[i]!]!; entry < end; entry++) objectives.add(objective[entry]!);
    }
    return { members: Int32Array.from(members), objectives: Int32Array.from(objectives) };
  }
}

/** The thresholds of rows where only the worst value of each objective is wanted. */
export class ObjectiveThresholds implements RowThresholds {
  readonly rises: Int32Array;
  risesInAll = 0;
  /** Worst value of each objective so far. */
  private readonly best: Float64Array;

  /**
   * @param atLeast values known to be reached, by the other direction for instance: peaks that stay below need not be found
   * @param upper room for a number per row of the model, as is `lower`
   */
  constructor(
    private readonly index: ObjectiveIndex,
    atLeast?: Float64Array,
    readonly upper: Float64Array = new Float64Array(index.rowCount),
    readonly lower: Float64Array = new Float64Array(index.rowCount),
  ) {
    const { rowCount, rest } = index;
    this.rises = new Int32Array(rest.length);
    // Before the train comes every response is 0.
    this.best = rest.slice();
    if (atLeast) for (let i = 0; i < rest.length; i++) this.best[i] = Math.max(rest[i]!, atLeast[i]!);
    for (let row = 0; row < rowCount; row++) this.updateRow(row);
  }

  raise(row: number, value: number): void {
    const { starts, objective, weight, offset, takesSeveral } = this.index;
    for (let entry = starts[row]!; entry < starts[row + 1]!; entry++) {
      const reached = offset[entry]! + weight[entry]! * value;
      const index = objective[entry]!;
      if (reached <= this.best[index]!) continue;
      this.best[index] = reached;
      if (takesSeveral[index] === 0) continue;
      this.rises[index]!++;
      this.risesInAll++;
    }
    this.updateRow(row);
  }

  refresh(rows: Int32Array): void {
    for (let i = 0; i < rows.length; i++) this.updateRow(rows[i]!);
  }

  private updateRow(row: number): void {
    const { starts, objective, weight, offset } = this.index;
    let upper = Number.POSITIVE_INFINITY;
    let lower = Number.NEGATIVE_INFINITY;
    for (let entry = starts[row]!; entry < starts[row + 1]!; entry++) {
      const value = (this.best[objective[entry]!]! - offset[entry]!) / weight[entry]!;
      if (weight[entry]! > 0) upper = Math.min(upper, value);
      else lower = Math.max(lower, value);
    }
    this.upper[row] = upper;
    this.lower[row] = lower;
  }
}
