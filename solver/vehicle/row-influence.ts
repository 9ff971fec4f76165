import type { ScreenedRows } from '../arithmetic/row-screen.js';
import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import { heldInfluence } from '../jumps/influence-jumps.js';
import { type LineSamples, largestSize, reversedLine, wholeLine } from '../lines/line-samples.js';
import { highestOver, lowestOver, type StretchBounds } from '../lines/stretch-bounds.js';
import { superposeAxles } from '../passage/superpose.js';
import { boundsOf, type Direction } from '../passage/train-tables.js';
import type { Consist } from './consist.js';

/** Samples per cell of the coarse bounds of influence lines. */
const cellLength = 16;

/** What static wheel loads do to one row, depending only on where the leading wheel is. */
export interface RowInfluence {
  /** Per unit load, sample by sample of the line in the direction of travel. */
  readonly line: Float64Array;
  readonly lineBounds: StretchBounds;
  /** Largest size of `line`. */
  readonly lineMost: number;
  /** Under the static loads of the whole train, by the sample number of its leading wheel. */
  readonly train: Float64Array;
  readonly trainBounds: StretchBounds;
}

/** The same for the largest and the smallest value of a row: one and the same unless its influence line jumps. */
export interface RowInfluences {
  readonly largest: RowInfluence;
  readonly smallest: RowInfluence;
}

/** What a train in one direction does to every row, shared by all speeds. */
export interface TrainInfluence {
  /** Per row; null for accelerations, which have no static part. */
  readonly rows: readonly (RowInfluences | null)[];
  /** For the first look at the rows: the bounds of their largest and smallest values under the static train, in cells. */
  readonly screened: ScreenedRows;
  /** Largest size of each row's influence lines. */
  readonly lineMost: Float64Array;
}

export function buildRowInfluence(
  model: DynamicModel,
  consist: Consist,
  direction: Direction,
): TrainInfluence {
  const shifts = Float64Array.from(consist.wheels, ({ position }) => position / model.line.step);
  const loads = Float64Array.from(consist.wheels, ({ load }) => load);
  const { count } = model.line;
  const tabulated = (samples: LineSamples): RowInfluence => {
    const line = wholeLine(direction === 'forward' ? samples : reversedLine(samples, count), count);
    const train = new Float64Array(line.length + Math.ceil(shifts[shifts.length - 1]!));
    superposeAxles({ samples: line, shifts, loads, interpolation: 'linear' }, train);
    return {
      line,
      lineBounds: { firstStretch: 0, ...boundsOf(line, cellLength) },
      lineMost: largestSize(line),
      train,
      trainBounds: { firstStretch: 0, ...boundsOf(train, cellLength) },
    };
  };
  const rows = model.influenceLines.map((influence): RowInfluences | null => {
    if (!influence) return null;
    const largest = tabulated(heldInfluence(influence, 1));
    if (influence.jumps.length === 0) return { largest, smallest: largest };
    return { largest, smallest: tabulated(heldInfluence(influence, -1)) };
  });
  return {
    rows,
    screened: {
      sets: model.rowSets,
      statics: rows.map((row) => row && boundsOfBoth(row)),
      setBounds: model.rowSets.map(() => null),
    },
    lineMost: Float64Array.from(rows, (row) =>
      row ? Math.max(row.largest.lineMost, row.smallest.lineMost) : 0,
    ),
  };
}

/** The highs of what makes a row large, the lows of what makes it small. */
function boundsOfBoth({ largest, smallest }: RowInfluences): StretchBounds {
  return { firstStretch: 0, highs: largest.trainBounds.highs, lows: smallest.trainBounds.lows };
}

/** Cell of a sample number. */
export const cellOf = (sample: number): number => Math.floor(sample / cellLength);

/** Largest (sign 1) or smallest (sign -1) value over a range of sample numbers; 0 beyond the samples. */
export function mostWithin(bounds: StretchBounds, from: number, to: number, sign: 1 | -1): number {
  const over = sign > 0 ? highestOver : lowestOver;
  return over(bounds, cellOf(from), cellOf(to));
}

/** Largest size under the static loads. */
export function mostOfTrain({ trainBounds }: RowInfluence): number {
  let most = 0;
  for (let cell = 0; cell < trainBounds.highs.length; cell++)
    most = Math.max(most, trainBounds.highs[cell]!, -trainBounds.lows[cell]!);
  return most;
}
