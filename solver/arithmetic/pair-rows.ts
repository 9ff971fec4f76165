import type { BandedFactorisation } from '../matrices/banded-factorisation.js';

/**
 * L D L^T of a banded matrix laid out for two rows at a time. A pair takes part in L x = b with the `window` unknowns before it and in
 * L^T x = b with as many after it, the furthest first; after those entries stands what ties its second row to its first, and a 0.
 */
export interface PairRows {
  readonly pairs: number;
  /** Even, no less than the half-bandwidth. */
  readonly window: number;
  /** (2 window + 2) numbers a pair: the entries of both rows in turn. */
  readonly forward: Float64Array;
  readonly backward: Float64Array;
  /** 1 for a row that is not there. */
  readonly pivots: Float64Array;
}

/** Numbers that a factorisation takes in pairs of rows. */
export function pairSizes({ size, halfBandwidth }: Pick<BandedFactorisation, 'size' | 'halfBandwidth'>) {
  const pairs = Math.ceil(size / 2);
  const window = halfBandwidth + (halfBandwidth % 2);
  return { pairs, window, entries: pairs * (2 * window + 2) };
}

/**
 * Fills pair rows of the sizes above, whatever they held.
 *
 * @param factorisation without a border
 */
export function packPairs(factorisation: BandedFactorisation, rows: PairRows): void {
  const { size, halfBandwidth, factor } = factorisation;
  const { pairs, window, forward, backward, pivots } = rows;
  const width = halfBandwidth + 1;
  const lower = (row: number, column: number) =>
    column >= 0 && row < size && row - column <= halfBandwidth
      ? factor[row * width + halfBandwidth - row + column]!
      : 0;
  for (let pair = 0; pair < pairs; pair++) {
    const first = 2 * pair;
    let at = pair * (2 * window + 2);
    for (let k = window; k > 0; k--) {
      forward[at] = lower(first, first - k);
      forward[at + 1] = lower(first + 1, first - k);
      backward[at] = lower(first + 1 + k, first);
      backward[at + 1] = lower(first + 1 + k, first + 1);
      at += 2;
    }
    const tie = halfBandwidth > 0 ? lower(first + 1, first) : 0;
    forward[at] = tie;
    backward[at] = tie;
    forward[at + 1] = 0;
    backward[at + 1] = 0;
    pivots[first] = lower(first, first);
    pivots[first + 1] = first + 1 < size ? lower(first + 1, first + 1) : 1;
  }
}

/**
 * Solves L D L^T x = b in place, in plain TypeScript: what the vector kernel does to the bit.
 *
 * @param x with `window` zeros before and after its rows, an even number of them
 */
export function solvePairs({ pairs, window, forward, backward, pivots }: PairRows, x: Float64Array): void {
  const each = 2 * window + 2;
  for (let pair = 0; pair < pairs; pair++) {
    const row = window + 2 * pair;
    const at = pair * each;
    const first = x[row]! - alongWindow(forward, at, x, row - window, 1, window);
    const second = x[row + 1]! - alongWindow(forward, at + 1, x, row - window, 1, window);
    x[row] = first;
    x[row + 1] = second - forward[at + 2 * window]! * first;
  }
  for (let pair = pairs - 1; pair >= 0; pair--) {
    const row = window + 2 * pair;
    const at = pair * each;
    const furthest = row + 1 + window;
    const first = x[row]! / pivots[2 * pair]! - alongWindow(backward, at, x, furthest, -1, window);
    const second =
      x[row + 1]! / pivots[2 * pair + 1]! - alongWindow(backward, at + 1, x, furthest, -1, window);
    x[row + 1] = second;
    x[row] = first - backward[at + 2 * window]! * second;
  }
}

/** Sum of a row's entries times the unknowns from the furthest on, in two partial sums. */
function alongWindow(
  entries: Float64Array,
  at: number,
  x: Float64Array,
  furthest: number,
  towards: 1 | -1,
  window: number,
): number {
  let even = 0;
  let odd = 0;
  for (let k = 0; k < window; k += 2) {
    even += entries[at + 2 * k]! * x[furthest + towards * k]!;
    odd += entries[at + 2 * k + 2]! * x[furthest + towards * (k + 1)]!;
  }
  return even + odd;
}
