import type { Quantity } from './response-rows.js';

/** Rows of one quantity over one span, which the same few modes, or coordinates made of them, move. */
export interface RowSet {
  readonly quantity: Quantity;
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
