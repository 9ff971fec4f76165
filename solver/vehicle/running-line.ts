import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import { linearWithin } from '../lines/linear-interpolation.js';
import type { Direction } from '../passage/train-tables.js';
import type { ComplianceBetween, LineCompliance } from './line-compliance.js';
import type { LineModes } from './line-modes.js';

/** Height of the unloaded rail over its as-built place: metres, downwards positive, x along the deck. */
export interface TrackProfile {
  levelAt(x: number): number;
  /** The profile goes on beyond the structure, so that a train has to settle on it before the deck. */
  readonly everywhere: boolean;
  /** m, shortest wave that a passage has to follow. */
  readonly shortestWave: number;
}

/** What a wheel meets, sampled along the way of the train in its own direction; sample 0 is the end at which it enters. */
export interface RunningLine {
  readonly step: number;
  readonly count: number;
  /** What moves under the wheels. */
  readonly modes: LineModes;
  /** m/N, see `LineCompliance`. */
  readonly residual: Float64Array;
  /** Per sample, 1/kg, see `LineCompliance`. */
  readonly inverseMass: Float64Array;
  readonly ground: number;
  /** By the distance of two wheels, see `wheelPairs`: m/N by the sample of the leading one; where either is off the line, the ground's. */
  readonly between: readonly { readonly residual: Float64Array; readonly ground: number }[];
  /** s, see `LineCompliance`. */
  readonly relaxation: number;
  /** Sample number of the first entry of `profile`, negative. */
  readonly profileFirst: number;
  /** Downwards positive. Beyond either end the last value goes on. */
  readonly profile: Float64Array;
  /** A train has to settle before it enters. */
  readonly settling: boolean;
  /** m, see `TrackProfile`; infinite over level rail. */
  readonly shortestWave: number;
  /** Sample number of the loaded line, which is numbered along x, and x itself; fractions allowed. */
  alongDeck(sample: number): number;
  xAt(sample: number): number;
}

/**
 * Turns the loaded line into the direction of travel.
 *
 * @param margin m of profile before and after the line
 */
export function buildRunningLine(
  model: DynamicModel,
  modes: LineModes,
  compliance: LineCompliance,
  direction: Direction,
  profile: TrackProfile | null,
  margin: number,
): RunningLine {
  const { line } = model;
  const { count, step } = line;
  const alongDeck = (sample: number) => (direction === 'forward' ? sample : count - 1 - sample);
  const turned = (samples: Float64Array) => samples.map((_, k) => samples[alongDeck(k)]!);
  const xAt = (sample: number) => line.from + step * alongDeck(sample);
  const extra = profile ? Math.ceil(margin / step) : 0;
  return {
    step,
    count,
    modes,
    residual: turned(compliance.residual),
    inverseMass: turned(compliance.inverseMass),
    ground: compliance.ground,
    between: compliance.between.map((one) => ({
      residual: direction === 'forward' ? one.residual : fromBehind(one, step),
      ground: one.ground,
    })),
    relaxation: compliance.relaxation,
    profileFirst: -extra,
    profile: Float64Array.from({ length: profile ? count + 2 * extra : 1 }, (_, k) =>
      profile ? profile.levelAt(xAt(k - extra)) : 0,
    ),
    settling: profile?.everywhere ?? false,
    shortestWave: profile?.shortestWave ?? Number.POSITIVE_INFINITY,
    alongDeck,
    xAt,
  };
}

/** In reverse it is the trailing wheel that stands further along x. */
function fromBehind({ residual, ground, distance }: ComplianceBetween, step: number): Float64Array {
  const last = residual.length - 1;
  return Float64Array.from(residual, (_, sample) =>
    linearWithin(residual, last - sample + distance / step, ground),
  );
}
