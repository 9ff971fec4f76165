/** Which values of each row of a model still matter: only one above `upper` or below `lower` of its row raises anything. */
export interface RowThresholds {
  /** Of each row, as is `lower`. */
  readonly upper: Float64Array;
  readonly lower: Float64Array;
  /** How often each objective of several rows rose: the thresholds of its other rows are out of date until `refresh`. */
  readonly rises: Int32Array;
  /** Sum of `rises`. */
  readonly risesInAll: number;
  /** Takes a new peak of a row into account; the thresholds of other rows follow by `refresh`. */
  raise(row: number, value: number): void;
  /** Brings the thresholds of some rows up to date; until then they are lower than need be, which costs time only. */
  refresh(rows: Int32Array): void;
}

/** Where every peak of every row is wanted: whatever is higher, or lower, than the row has been. */
export class OwnPeaksAsThresholds implements RowThresholds {
  readonly rises = new Int32Array(0);
  readonly risesInAll = 0;

  /** @param upper zero for each row of the model, as is `lower`: before the train comes every response is 0 */
  constructor(
    readonly upper: Float64Array,
    readonly lower: Float64Array,
  ) {}

  raise(row: number, value: number): void {
    if (value > this.upper[row]!) this.upper[row] = value;
    else if (value < this.lower[row]!) this.lower[row] = value;
  }

  refresh(): void {}
}
