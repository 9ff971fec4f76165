import type { DynamicModel } from '../dynamic-model.js';
import { heldInfluence } from '../influence-jumps.js';
import { type LineSamples, largestSize, reversedLine, wholeLine } from '../line-samples.js';
import { superposeAxles } from '../superpose.js';
import { boundsOf, type Direction } from '../train-tables.js';
import type { Consist } from './consist.js';

/** Samples per cell of the coarse bounds of influence lines. */
const cellLength = 16;

/** Largest and smallest value, not below or above 0, of samples per cell and the sample after it. */
export interface CellBounds {
  readonly highs: Float64Array;
  readonly lows: Float64Array;
}

/** What static wheel loads do to one row, depending only on where the leading wheel is. */
export interface RowInfluence {
  /** Per unit load, sample by sample of the line in the direction of travel. */
  readonly line: Float64Array;
  readonly lineBounds: CellBounds;
  /** Largest size of `line`. */
  readonly lineMost: number;
  /** Under the static loads of the whole train, by the sample number of its leading wheel. */
  readonly train: Float64Array;
  readonly trainBounds: CellBounds;
}

/** The same for the largest and the smallest value of a row: one and the same unless its influence line jumps. */
export interface RowInfluences {
  readonly largest: RowInfluence;
  readonly smallest: RowInfluence;
}

/** Per row; null for accelerations, which have no static part. Shared by all speeds of a train in one direction. */
export function buildRowInfluence(
  model: DynamicModel,
  consist: Consist,
  direction: Direction,
): readonly (RowInfluences | null)[] {
  const shifts = Float64Array.from(consist.wheels, ({ position }) => position / model.line.step);
  const loads = Float64Array.from(consist.wheels, ({ load }) => load);
  const { count } = model.line;
  const tabulated = (samples: LineSamples): RowInfluence => {
    const line = wholeLine(direction === 'forward' ? samples : reversedLine(samples, count), count);
    const train = new Float64Array(line.length + Math.ceil(shifts[shifts.length - 1]!));
    superposeAxles(line, 0, line.length, shifts, loads, train, 0, 'linear');
    return {
      line,
      lineBounds: boundsOf(line, cellLength),
      lineMost: largestSize(line),
      train,
      trainBounds: boundsOf(train, cellLength),
    };
  };
  return model.influenceLines.map((influence) => {
    if (!influence) return null;
    const largest = tabulated(heldInfluence(influence, 1));
    if (influence.jumps.length === 0) return { largest, smallest: largest };
    return { largest, smallest: tabulated(heldInfluence(influence, -1)) };
  });
}

/** Largest (sign 1) or smallest (sign -1) value over a range of sample numbers; 0 beyond the samples. */
export function mostWithin(bounds: CellBounds, from: number, to: number, sign: 1 | -1): number {
  const extremes = sign > 0 ? bounds.highs : bounds.lows;
  const first = Math.floor(from / cellLength);
  const last = Math.floor(to / cellLength);
  let most = first < 0 || last >= extremes.length ? 0 : Number.NEGATIVE_INFINITY;
  for (let cell = Math.max(0, first); cell <= last && cell < extremes.length; cell++) {
    const value = sign * extremes[cell]!;
    if (value > most) most = value;
  }
  return sign * most;
}

/** Largest size under the static loads. */
export function mostOfTrain({ trainBounds }: RowInfluence): number {
  let most = 0;
  for (let cell = 0; cell < trainBounds.highs.length; cell++)
    most = Math.max(most, trainBounds.highs[cell]!, -trainBounds.lows[cell]!);
  return most;
}

/** Linear between samples, 0 outside them. */
export function interpolated(samples: Float64Array, position: number): number {
  if (position < 0 || position > samples.length - 1) return 0;
  const index = Math.min(Math.floor(position), samples.length - 2);
  const value = samples[index]!;
  return value + (samples[index + 1]! - value) * (position - index);
}
