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
  /** Entries of each row, as places in the lists of all entries. */
  private readonly entriesOf: number[][];
  private readonly objectiveOf: number[] = [];
  private readonly weightOf: number[] = [];
  private readonly offsetOf: number[] = [];

  constructor(
    private readonly objectives: readonly Objective[],
    rowCount: number,
  ) {
    this.upper = new Float64Array(rowCount).fill(Number.POSITIVE_INFINITY);
    this.lower = new Float64Array(rowCount).fill(Number.NEGATIVE_INFINITY);
    // Before the train comes every response is 0.
    this.best = Float64Array.from(objectives, ({ offsets, atLeast }) =>
      offsets.reduce((most, offset) => Math.max(most, offset), atLeast ?? Number.NEGATIVE_INFINITY),
    );
    this.entriesOf = Array.from({ length: rowCount }, () => []);
    objectives.forEach(({ rows, weights, offsets }, objective) => {
      rows.forEach((row, i) => {
        this.entriesOf[row]!.push(this.objectiveOf.length);
        this.objectiveOf.push(objective);
        this.weightOf.push(weights[i]!);
        this.offsetOf.push(offsets[i]!);
      });
    });
    for (let row = 0; row < rowCount; row++) this.updateRow(row);
  }

  /** Takes a new peak of a row into account. */
  raise(row: number, value: number): void {
    for (const entry of this.entriesOf[row]!) {
      const objective = this.objectiveOf[entry]!;
      const reached = this.offsetOf[entry]! + this.weightOf[entry]! * value;
      if (reached <= this.best[objective]!) continue;
      this.best[objective] = reached;
      for (const member of this.objectives[objective]!.rows) this.updateRow(member);
    }
  }

  private updateRow(row: number): void {
    let upper = Number.POSITIVE_INFINITY;
    let lower = Number.NEGATIVE_INFINITY;
    for (const entry of this.entriesOf[row]!) {
      const weight = this.weightOf[entry]!;
      const value = (this.best[this.objectiveOf[entry]!]! - this.offsetOf[entry]!) / weight;
      if (weight > 0) upper = Math.min(upper, value);
      else lower = Math.max(lower, value);
    }
    this.upper[row] = upper;
    this.lower[row] = lower;
  }
}
