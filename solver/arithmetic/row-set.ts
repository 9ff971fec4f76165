/** Rows of one quantity over one span, which the same few modes, or coordinates made of them, move. */
export interface RowSet {
  /** Rows from modal accelerations; the others from departures e = w^2 q - p. */
  readonly acceleration: boolean;
  /** Indices of the rows. */
  readonly rows: Int32Array;
  /** Modes that move any of them. */
  readonly modes: Int32Array;
  /** rows x modes, row by row: value per unit acceleration or departure of the mode. */
  readonly values: Float64Array;
  /** Largest size in each column of `values`. */
  readonly most: Float64Array;
}

/** Bound on a row's modal part from the size of each mode. */
export function swingOf({ values, modes }: RowSet, member: number, modalMost: Float64Array): number {
  let swing = 0;
  const from = member * modes.length;
  for (let k = 0; k < modes.length; k++) swing += Math.abs(values[from + k]!) * modalMost[modes[k]!]!;
  return swing;
}

/** Sum over the modes of a set of what each does to its rows at most, times a size of the mode: a bound on every row's modal part. */
export function largestSwing({ modes, most }: RowSet, sizes: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < modes.length; k++) sum += most[k]! * sizes[modes[k]!]!;
  return sum;
}
