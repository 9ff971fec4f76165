/** Largest and smallest value of every row over time. */
export interface Peaks {
  readonly largest: Float64Array;
  readonly smallest: Float64Array;
}

/** The worse of two passages, row by row. */
export function together(a: Peaks, b: Peaks): Peaks {
  return {
    largest: a.largest.map((value, row) => Math.max(value, b.largest[row]!)),
    smallest: a.smallest.map((value, row) => Math.min(value, b.smallest[row]!)),
  };
}

/**
 * Trains on two tracks at once, one as far ahead of the other as is worst, row by row: each row's own peaks come together. Peaks hold the
 * state at rest, so that one train alone is among the positions.
 */
export function meeting(a: Peaks, b: Peaks): Peaks {
  return {
    largest: a.largest.map((value, row) => value + b.largest[row]!),
    smallest: a.smallest.map((value, row) => value + b.smallest[row]!),
  };
}
