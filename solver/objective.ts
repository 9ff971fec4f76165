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
  /** A value known to be reached, by the other direction for instance: peaks that stay below it need not be found. */
  readonly atLeast?: number;
}

/**
 * Which values of each row still matter, given the worst value that each objective has reached: only a value above `upper` or
 * below `lower` of its row raises anything.
 */
export class ObjectiveThresholds {
  readonly upper: Float64Array;
  readonly lower: Float64Array;
  /** Worst value of each objective so far. */
  private readonly best: Float64Array;
  private readonly entries: Entries;
  private readonly rowCounts: Int32Array;

  constructor(objectives: readonly Objective[], rowCount: number) {
    this.upper = new Float64Array(rowCount).fill(Number.POSITIVE_INFINITY);
    this.lower = new Float64Array(rowCount).fill(Number.NEGATIVE_INFINITY);
    this.entries = entriesByRow(objectives, rowCount);
    this.rowCounts = Int32Array.from(objectives, ({ rows }) => new Set(rows).size);
    // Before the train comes every response is 0.
    this.best = Float64Array.from(objectives, ({ offsets, atLeast }) =>
      offsets.reduce((most, offset) => Math.max(most, offset), atLeast ?? Number.NEGATIVE_INFINITY),
    );
    for (let row = 0; row < rowCount; row++) this.updateRow(row);
  }

  /**
   * Takes a new peak of a row into account.
   *
   * @returns whether an objective of more rows than this one rose; their thresholds follow by `refresh`
   */
  raise(row: number, value: number): boolean {
    const { starts, objective, weight, offset } = this.entries;
    let rose = false;
    for (let entry = starts[row]!; entry < starts[row + 1]!; entry++) {
      const reached = offset[entry]! + weight[entry]! * value;
      if (reached <= this.best[objective[entry]!]!) continue;
      this.best[objective[entry]!] = reached;
      if (this.rowCounts[objective[entry]!]! > 1) rose = true;
    }
    this.updateRow(row);
    return rose;
  }

  /** Whether any objective takes the row. */
  isWanted(row: number): boolean {
    return this.entries.starts[row]! < this.entries.starts[row + 1]!;
  }

  /** Brings the thresholds of some rows up to date; until then they are lower than need be, which costs time only. */
  refresh(rows: Int32Array): void {
    for (let i = 0; i < rows.length; i++) this.updateRow(rows[i]!);
  }

  private updateRow(row: number): void {
    const { starts, objective, weight, offset } = this.entries;
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

/** All entries of all objectives, row by row: those of row r from starts[r] up to starts[r + 1]. */
interface Entries {
  readonly starts: Int32Array;
  readonly objective: Int32Array;
  readonly weight: Float64Array;
  readonly offset: Float64Array;
}

function entriesByRow(objectives: readonly Objective[], rowCount: number): Entries {
  const starts = new Int32Array(rowCount + 1);
  for (const { rows } of objectives) for (let i = 0; i < rows.length; i++) starts[rows[i]! + 1]!++;
  for (let row = 0; row < rowCount; row++) starts[row + 1]! += starts[row]!;
  const total = starts[rowCount]!;
  const next = Int32Array.from(starts);
  const entries = {
    starts,
    objective: new Int32Array(total),
    weight: new Float64Array(total),
    offset: new Float64Array(total),
  };
  for (let index = 0; index < objectives.length; index++) {
    const { rows, weights, offsets } = objectives[index]!;
    for (let i = 0; i < rows.length; i++) {
      const place = next[rows[i]!]!++;
      entries.objective[place] = index;
      entries.weight[place] = weights[i]!;
      entries.offset[place] = offsets[i]!;
    }
  }
  return entries;
}
