/** Largest and smallest values over stretches of `stretchLength` samples and the sample after each; all stretches not stored are 0. */
export interface StretchBounds {
  /** Number of the first stretch; stretch n begins at sample n stretchLength. */
  readonly firstStretch: number;
  readonly highs: Float64Array;
  readonly lows: Float64Array;
}
