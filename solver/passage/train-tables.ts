import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import { type Crossings, findCrossings } from '../jumps/crossings.js';
import { type ForceBreaks, reversedBreaks, withoutBreaks } from '../jumps/force-breaks.js';
import { type InfluenceLine, reversedInfluence } from '../jumps/influence-jumps.js';
import { largestSize, thinnedLine } from '../lines/line-samples.js';
import type { StretchBounds } from '../lines/stretch-bounds.js';
import type { MovingTrain } from '../viaduct/model.js';
import { superposeAxles } from './superpose.js';

export type Direction = 'forward' | 'reverse';

/** A function of the head's position, zero outside the stored range; the bounds hold for the crossings as well. */
export interface PositionTable extends StretchBounds {
  /** Sample of the first value, a whole number of stretches. */
  readonly first: number;
  readonly values: Float64Array;
  /** Null where the function does not jump. */
  readonly crossings: Crossings | null;
}

/** Zeros before the first and after the last sample of a modal force table, for the four-point interpolation. */
export const tablePadding = 1;
const tablePaddingAfter = 4;

/** Samples per stretch of the bounds of a table. */
export const stretchLength = 32;

/**
 * What a whole train does, depending only on where its head is: shared by all speeds. Sample k has the head k steps
 * past the end of the line where the train enters.
 */
export interface TrainTables {
  readonly step: number;
  /** Samples until the last axle has left and no force is left. */
  readonly count: number;
  /** Generalised force of each mode, with zeros before and after (`tablePadding`). */
  readonly modalForces: readonly Float64Array[];
  /** The same without what the line's breaks add; the same arrays where there are none. */
  readonly smoothForces: readonly Float64Array[];
  /** In the direction of travel. */
  readonly breaks: ForceBreaks | null;
  readonly axlePositions: Float64Array;
  readonly axleLoads: Float64Array;
  /** Steps per sample of the tables of rows, below. */
  readonly rowStride: number;
  /** Static response of each row; null for accelerations. */
  readonly statics: readonly (PositionTable | null)[];
  /** What the passage adds to the modes in each row: the statics, or where forces jump their residual. */
  readonly passages: readonly (PositionTable | null)[];
  /** Bounds of those over all rows of each of the model's row sets; null for accelerations. */
  readonly setBounds: readonly (StretchBounds | null)[];
  /** Not null: the statics are those of the other direction, to be read at this position less the head's own, in steps. */
  readonly staticsMirroredAt: number | null;
}

/** Entries of an influence line below this share of its peak are dropped: with 50 axles at most 0.05 % of one axle's peak. */
const negligible = 1e-5;

/**
 * @param other tables of the same model and train in the opposite direction, if at hand: a train that is its own mirror image
 *   takes its tables from them, which is much faster
 */
export function buildTrainTables(
  model: DynamicModel,
  train: MovingTrain,
  direction: Direction,
  other?: TrainTables,
): TrainTables {
  const { line } = model;
  const length = train.positions[train.positions.length - 1]!;
  const beyond = model.forceBreaks ? Math.ceil(model.forceBreaks.reach / line.step) : 0;
  const count = line.count + Math.ceil(length / line.step) + 1 + beyond;
  const shifts = inSteps(train.positions, line.step);
  const oriented = (samples: Float64Array) =>
    direction === 'forward' ? samples : Float64Array.from(samples).reverse();
  const modalForce = (samples: Float64Array) => {
    const values = new Float64Array(tablePadding + count + tablePaddingAfter);
    const inner = values.subarray(tablePadding, tablePadding + count);
    superposeAxles({ samples, shifts, loads: train.loads, interpolation: 'cubic' }, inner);
    return values;
  };
  const modalForces = model.modeLines.map((samples) => modalForce(oriented(samples)));
  const breaks =
    model.forceBreaks && direction === 'reverse'
      ? reversedBreaks(model.forceBreaks, (line.count - 1) * line.step)
      : model.forceBreaks;
  return {
    step: line.step,
    count,
    modalForces,
    smoothForces: breaks
      ? model.modeLines.map((samples, mode) =>
          modalForce(withoutBreaks(oriented(samples), line.step, breaks, mode)),
        )
      : modalForces,
    breaks,
    axlePositions: train.positions,
    axleLoads: train.loads,
    rowStride: model.rowStride,
    ...(other?.staticsMirroredAt === null && isMirrorImageOfItself(train)
      ? {
          statics: other.statics,
          passages: other.passages,
          setBounds: other.setBounds,
          staticsMirroredAt: line.count - 1 + length / line.step,
        }
      : { ...tabulateRows(model, direction, shifts, train.loads), staticsMirroredAt: null }),
  };
}

function inSteps(lengths: Float64Array, step: number): Float64Array {
  const steps = new Float64Array(lengths.length);
  for (let i = 0; i < lengths.length; i++) steps[i] = lengths[i]! / step;
  return steps;
}

function tabulateRows(
  model: DynamicModel,
  direction: Direction,
  shifts: Float64Array,
  loads: Float64Array,
): Pick<TrainTables, 'statics' | 'passages' | 'setBounds'> {
  const { influenceLines, passageLines } = model;
  const statics = tabulateLines(influenceLines, model, direction, shifts, loads);
  const passages =
    passageLines === influenceLines ? statics : tabulateLines(passageLines, model, direction, shifts, loads);
  const setBounds: (StretchBounds | null)[] = [];
  for (const { rows } of model.localSets) setBounds.push(commonBounds(passages, rows));
  return { statics, passages, setBounds };
}

function tabulateLines(
  lines: readonly (InfluenceLine | null)[],
  { line: { count }, rowStride }: DynamicModel,
  direction: Direction,
  shifts: Float64Array,
  loads: Float64Array,
): (PositionTable | null)[] {
  const coarseShifts = inSteps(shifts, rowStride);
  const tables: (PositionTable | null)[] = [];
  // Thousands of lines are only looked at on the way to their tables.
  const room = new Float64Array(count);
  const thinnedRoom = new Float64Array(count);
  for (const line of lines) {
    const oriented = line && direction === 'reverse' ? reversedInfluence(line, count, room) : line;
    tables.push(oriented && tabulate(oriented, rowStride, shifts, coarseShifts, loads, thinnedRoom));
  }
  return tables;
}

function isMirrorImageOfItself({ positions, loads }: MovingTrain): boolean {
  const last = positions.length - 1;
  return positions.every(
    (position, axle) =>
      Math.abs(position + positions[last - axle]! - positions[last]!) < 1e-6 &&
      loads[axle] === loads[last - axle],
  );
}

function tabulate(
  influence: InfluenceLine,
  stride: number,
  shifts: Float64Array,
  coarseShifts: Float64Array,
  loads: Float64Array,
  room: Float64Array,
): PositionTable {
  const line = thinnedLine(influence, stride, room);
  const samples = line.values;
  const peak = largestSize(samples);
  let from = 0;
  let to = samples.length;
  while (from < to && Math.abs(samples[from]!) <= negligible * peak) from++;
  while (to > from && Math.abs(samples[to - 1]!) <= negligible * peak) to--;
  // A zero on either side, for the slope to the first and from the last value.
  const firstStretch = Math.floor((line.first + from - 1) / stretchLength);
  const first = firstStretch * stretchLength;
  const values = new Float64Array(line.first + to - first + Math.ceil(coarseShifts.at(-1)!) + 2);
  const axles = { shifts: coarseShifts, loads, interpolation: 'linear' } as const;
  superposeAxles({ samples, from, to, ...axles }, values, first - line.first);
  const bounds = boundsOf(values, stretchLength);
  const crossings = findCrossings(influence, shifts, loads, stride);
  if (crossings) include(crossings, firstStretch, bounds);
  return { first, firstStretch, values, ...bounds, crossings };
}

/** Widens the bounds to what is reached at crossings. */
function include(
  crossings: Crossings,
  firstStretch: number,
  { highs, lows }: Pick<StretchBounds, 'highs' | 'lows'>,
): void {
  crossings.heads.forEach((head, k) => {
    const stretch = Math.min(highs.length - 1, Math.max(0, Math.floor(head / stretchLength) - firstStretch));
    highs[stretch] = Math.max(highs[stretch]!, crossings.highs[k]!);
    lows[stretch] = Math.min(lows[stretch]!, crossings.lows[k]!);
  });
}

/** Bounds that hold for some of the tables; null where those are null. */
function commonBounds(all: readonly (PositionTable | null)[], rows: Int32Array): StretchBounds | null {
  const tables: PositionTable[] = [];
  let firstStretch = Number.POSITIVE_INFINITY;
  let end = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < rows.length; i++) {
    const table = all[rows[i]!];
    if (!table) continue;
    tables.push(table);
    firstStretch = Math.min(firstStretch, table.firstStretch);
    end = Math.max(end, table.firstStretch + table.highs.length);
  }
  if (tables.length === 0) return null;
  const highs = new Float64Array(end - firstStretch).fill(Number.NEGATIVE_INFINITY);
  const lows = new Float64Array(end - firstStretch).fill(Number.POSITIVE_INFINITY);
  for (const table of tables) {
    const from = table.firstStretch - firstStretch;
    const to = from + table.highs.length;
    for (let k = 0; k < highs.length; k++) {
      const stored = k >= from && k < to;
      const high = stored ? table.highs[k - from]! : 0;
      const low = stored ? table.lows[k - from]! : 0;
      if (high > highs[k]!) highs[k] = high;
      if (low < lows[k]!) lows[k] = low;
    }
  }
  return { firstStretch, highs, lows };
}

/** Largest and smallest value of each stretch of samples and the sample after it; after the last sample comes 0. */
export function boundsOf(values: Float64Array, length: number): { highs: Float64Array; lows: Float64Array } {
  const count = Math.ceil(values.length / length);
  const highs = new Float64Array(count);
  const lows = new Float64Array(count);
  for (let stretch = 0; stretch < count; stretch++) {
    const begin = stretch * length;
    const after = begin + length;
    let high = after < values.length ? values[after]! : 0;
    let low = high;
    const end = Math.min(values.length, after);
    for (let k = begin; k < end; k++) {
      const value = values[k]!;
      if (value > high) high = value;
      else if (value < low) low = value;
    }
    highs[stretch] = high;
    lows[stretch] = low;
  }
  return { highs, lows };
}
