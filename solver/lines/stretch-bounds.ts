/** Largest and smallest values over stretches of `stretchLength` samples and the sample after each; all stretches not stored are 0. */
export interface StretchBounds {
  /** Number of the first stretch; stretch n begins at sample n stretchLength. */
  readonly firstStretch: number;
  readonly highs: Float64Array;
  readonly lows: Float64Array;
}

/** Largest value while the head passes from one stretch to another. */
export function highestOver(bounds: StretchBounds, fromStretch: number, toStretch: number): number {
  return mostOver(bounds, bounds.highs, 1, fromStretch, toStretch);
}

/** Smallest value while the head passes from one stretch to another. */
export function lowestOver(bounds: StretchBounds, fromStretch: number, toStretch: number): number {
  return -mostOver(bounds, bounds.lows, -1, fromStretch, toStretch);
}

/** Largest of `sign` times the values; those beyond what is stored are 0. */
function mostOver(
  { firstStretch }: StretchBounds,
  values: Float64Array,
  sign: number,
  fromStretch: number,
  toStretch: number,
): number {
  const from = Math.min(fromStretch, toStretch) - firstStretch;
  const to = Math.max(fromStretch, toStretch) - firstStretch;
  const last = values.length - 1;
  let most = from < 0 || to > last ? 0 : Number.NEGATIVE_INFINITY;
  for (let stretch = Math.max(0, from); stretch <= to && stretch <= last; stretch++) {
    const value = sign * values[stretch]!;
    if (value > most) most = value;
  }
  return most;
}
