import { highestOver, lowestOver, type StretchBounds } from '../lines/stretch-bounds.js';
import { contract } from './contract.js';
import { largestSwing, type RowSet } from './row-set.js';

/** From this stride on it pays to look up the static bound between two columns on its own. */
const refinedStride = 8;

/** What may reach beyond its thresholds: sets by their number, rows by their place in the set. */
export interface Hits {
  readonly hits: Int32Array;
  /** Static part of each of them, at most and at least, and bounds of the whole. */
  readonly highs: Float64Array;
  readonly lows: Float64Array;
  readonly tops: Float64Array;
  readonly bottoms: Float64Array;
}

/** Room for so many. */
export function allocateHits(arithmetic: Allocator, most: number): Hits {
  return {
    hits: arithmetic.allocateIntegers(most),
    highs: arithmetic.allocate(most),
    lows: arithmetic.allocate(most),
    tops: arithmetic.allocate(most),
    bottoms: arithmetic.allocate(most),
  };
}

interface Allocator {
  allocate(length: number): Float64Array;
  allocateIntegers(length: number): Int32Array;
}

function setHit(to: Hits, place: number, hit: number, high: number, low: number, swing: number): void {
  to.hits[place] = hit;
  to.highs[place] = high;
  to.lows[place] = low;
  to.tops[place] = high + swing;
  to.bottoms[place] = low - swing;
}

/** What a block asks about the rows of one set, and the rows found; arrays are allocated by the arithmetic that answers. */
export interface SizeScreen extends Hits {
  /** Which of the model's row sets. */
  set: number;
  /** Rows of the set that are asked about, by their place in it: `count` of them from `first` on. */
  readonly members: Int32Array;
  first: number;
  count: number;
  /** Size of each mode in this block at most. */
  most: Float64Array;
  /** Of every row of the model: a value beyond either is looked for. */
  readonly upper: Float64Array;
  readonly lower: Float64Array;
  /** Static part of every row of the set in this block, at most and at least. */
  setHigh: number;
  setLow: number;
  /** Stretch of the static tables under each column. */
  readonly stretches: Int32Array;
}

/** The same looked at more closely, at some columns. */
export interface RowScreen extends SizeScreen {
  /** Strong modes of the set, by their place in it, and their values at every `stride`-th column from `firstColumn` on, mode by mode. */
  readonly chosen: Int32Array;
  chosenCount: number;
  readonly samples: Float64Array;
  columns: number;
  stride: number;
  readonly firstColumn: number;
  /** What weak modes, and all between the columns, add at most. */
  slack: number;
  /** Room for one row at the columns. */
  readonly history: Float64Array;
  /** First and last column in question of each row found. */
  readonly from: Int32Array;
  readonly to: Int32Array;
}

/** What does not change from block to block. */
export interface ScreenedRows {
  readonly sets: readonly RowSet[];
  /** Bounds of each row's static part; null where it has none. */
  readonly statics: readonly (StretchBounds | null)[];
  /** Bounds of it over all rows of each set; null where they have none. */
  readonly setBounds: readonly (StretchBounds | null)[];
}

/** What a block asks about all sets, and the answer; arrays are allocated by the arithmetic that answers. */
export interface SetScreen extends Hits {
  /** Size of each mode in this block at most. */
  readonly departureMost: Float64Array;
  readonly accelerationMost: Float64Array;
  /** Smallest upper and largest lower threshold of the rows of each set. */
  readonly leastUpper: Float64Array;
  readonly greatestLower: Float64Array;
  /** Stretch of the static tables under each column. */
  readonly stretches: Int32Array;
}

/**
 * The sets any row of which may reach beyond its thresholds as far as the sizes of the modes and the bounds over all rows tell.
 *
 * @returns how many
 */
export function screenSets(screen: SetScreen, { sets, setBounds }: ScreenedRows): number {
  const { stretches, leastUpper, greatestLower } = screen;
  const last = stretches.length - 1;
  let found = 0;
  for (let index = 0; index < sets.length; index++) {
    const sizes = sets[index]!.acceleration ? screen.accelerationMost : screen.departureMost;
    const bounds = setBounds[index] ?? null;
    const swing = largestSwing(sets[index]!, sizes);
    const high = bounds ? highestOver(bounds, stretches[0]!, stretches[last]!) : 0;
    const low = bounds ? lowestOver(bounds, stretches[0]!, stretches[last]!) : 0;
    if (high + swing <= leastUpper[index]! && low - swing >= greatestLower[index]!) continue;
    setHit(screen, found++, index, high, low, swing);
  }
  return found;
}

/**
 * The rows that may reach beyond their thresholds as far as the sizes of their modes and the bounds of their static part tell: `hits`,
 * `highs`, `lows`, `tops` and `bottoms` are written.
 *
 * @returns how many
 */
export function screenSizes(screen: SizeScreen, { sets, statics }: ScreenedRows): number {
  const { members, most, upper, lower, setHigh, setLow, stretches } = screen;
  const { values, modes, rows } = sets[screen.set]!;
  const modeCount = modes.length;
  const paired = modeCount - (modeCount % 2);
  const last = stretches.length - 1;
  let found = 0;
  for (let i = 0; i < screen.count; i++) {
    const member = members[screen.first + i]!;
    const row = rows[member]!;
    const from = member * modeCount;
    let even = 0;
    let odd = 0;
    for (let k = 0; k < paired; k += 2) {
      even += Math.abs(values[from + k]!) * most[modes[k]!]!;
      odd += Math.abs(values[from + k + 1]!) * most[modes[k + 1]!]!;
    }
    let swing = even + odd;
    if (paired < modeCount) swing += Math.abs(values[from + paired]!) * most[modes[paired]!]!;
    if (setHigh + swing <= upper[row]! && setLow - swing >= lower[row]!) continue;
    const bounds = statics[row] ?? null;
    const high = bounds ? highestOver(bounds, stretches[0]!, stretches[last]!) : 0;
    const low = bounds ? lowestOver(bounds, stretches[0]!, stretches[last]!) : 0;
    if (high + swing <= upper[row]! && low - swing >= lower[row]!) continue;
    setHit(screen, found++, member, high, low, swing);
  }
  return found;
}

/**
 * Those of the first `found` hits that may reach beyond as far as their strong modes at some columns tell: keeps these, in their order, with
 * closer bounds, and writes `from` and `to`.
 *
 * @returns how many
 */
export function screenSamples(screen: RowScreen, found: number, { sets, statics }: ScreenedRows): number {
  const { chosen, chosenCount, samples, columns, stride, firstColumn, slack, history, stretches } = screen;
  const { values, modes, rows } = sets[screen.set]!;
  const weights = new Float64Array(chosenCount);
  const places = Int32Array.from({ length: chosenCount }, (_, c) => c);
  let kept = 0;
  for (let i = 0; i < found; i++) {
    const member = screen.hits[i]!;
    const row = rows[member]!;
    const upper = screen.upper[row]!;
    const lower = screen.lower[row]!;
    const high = screen.highs[i]!;
    const low = screen.lows[i]!;
    const bounds = stride >= refinedStride ? (statics[row] ?? null) : null;
    for (let c = 0; c < chosenCount; c++) weights[c] = values[member * modes.length + chosen[c]!]!;
    contract(weights, 0, places, chosenCount, samples, columns, history, 0, columns);
    let first = -1;
    let last = -1;
    let most = Number.NEGATIVE_INFINITY;
    let least = Number.POSITIVE_INFINITY;
    for (let column = 0; column + 1 < columns; column++) {
      const here = history[column]!;
      const next = history[column + 1]!;
      let top = Math.max(here, next) + slack;
      let bottom = Math.min(here, next) - slack;
      if (top + high <= upper && bottom + low >= lower) continue;
      if (bounds) {
        const begin = stretches[firstColumn + column * stride]!;
        const end = stretches[firstColumn + (column + 1) * stride]!;
        top += highestOver(bounds, begin, end);
        bottom += lowestOver(bounds, begin, end);
        if (top <= upper && bottom >= lower) continue;
      } else {
        top += high;
        bottom += low;
      }
      if (first < 0) first = column;
      last = column;
      if (top > most) most = top;
      if (bottom < least) least = bottom;
    }
    if (first < 0) continue;
    screen.hits[kept] = member;
    screen.tops[kept] = most;
    screen.bottoms[kept] = least;
    screen.from[kept] = firstColumn + first * stride;
    screen.to[kept] = firstColumn + (last + 1) * stride;
    kept++;
  }
  return kept;
}
