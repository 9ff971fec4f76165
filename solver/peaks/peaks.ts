/** Largest and smallest value of every row over time. */
export interface Peaks {
  readonly largest: Float64Array;
  readonly smallest: Float64Array;
}

/** The worse of two passages, row by row. */
export function together(a: Peaks, b: Peaks): Peaks {
  const largest = a.largest.slice();
  const smallest = a.smallest.slice();
  for (let row = 0; row < largest.length; row++) {
    if (b.largest[row]! > largest[row]!) largest[row] = b.largest[row]!;
    if (b.smallest[row]! < smallest[row]!) smallest[row] = b.smallest[row]!;
  }
  return { largest, smallest };
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
