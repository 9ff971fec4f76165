import { metresPerSecond } from '../../scenarios/speed-units.js';
import type { DynamicModel } from '../../solver/dynamic-model/dynamic-model.js';
import { mirroredPeaks } from '../../solver/dynamic-model/mirror.js';
import { mirroredObjectives, withReverse } from '../../solver/dynamic-model/mirrored-objectives.js';
import { quasiStaticPeaks, runPassage } from '../../solver/passage/passage.js';
import type { TrainTables } from '../../solver/passage/train-tables.js';
import type { ObjectiveIndex } from '../../solver/peaks/objective.js';
import { type Peaks, together } from '../../solver/peaks/peaks.js';

/** What is expected at a speed, of what the speeds on both sides of it reached and of what the one below it reached. */
const shareOfBoth = 0.85;
const shareOfOne = 0.7;

/**
 * Passages of one train, in both directions or one. What the speeds beside one have reached is mostly reached there as well: rows that
 * stay below most of it are not looked at, and where it is not reached the passages are run again without that guess. The peaks
 * of the objectives are those of passages without guesses.
 */
export class TrainPassages {
  /** Worst values of the objectives, by speed in km/h. */
  private readonly seen = new Map<number, Float64Array>();
  private reverseTables: TrainTables | null = null;
  /** Not null: passages forwards tell what the objectives reach in reverse. */
  private readonly images: Int32Array | null;

  /** @param reverse tables of the opposite direction, asked for once and only where passages forwards do not tell both */
  constructor(
    private readonly model: DynamicModel,
    private readonly forward: TrainTables,
    private readonly reverse: () => TrainTables,
    private readonly objectives: ObjectiveIndex,
  ) {
    this.images = model.mirror && mirroredObjectives(model.mirror, objectives);
  }

  /** Largest and smallest of every row that an objective has its worst value from; 0 km/h is the quasi-static passage. */
  peaksAt(speedKmh: number): Peaks {
    const peaks = speedKmh === 0 ? this.quasiStatic() : this.passages(speedKmh);
    this.seen.set(speedKmh, this.reached(peaks));
    return peaks;
  }

  /** Peaks of every row. */
  allPeaksAt(speedKmh: number): Peaks {
    if (speedKmh === 0) return this.quasiStatic();
    return this.everyRow((tables) => runPassage(this.model, tables, metresPerSecond(speedKmh)));
  }

  /**
   * Peaks of the rows of some other objectives, where they reach beyond a value each; 0 km/h is the quasi-static passage.
   *
   * @param atLeast per objective; 0 unless given
   */
  peaksBeyond(speedKmh: number, objectives: ObjectiveIndex, atLeast?: Float64Array): Peaks {
    if (speedKmh === 0) return this.quasiStatic();
    return this.inTurn(speedKmh, objectives, atLeast ?? new Float64Array(objectives.objectives.length));
  }

  /** Peaks of every row as v -> 0. */
  quasiStatic(): Peaks {
    return this.everyRow((tables) => quasiStaticPeaks(this.model, tables));
  }

  private directions(): readonly [TrainTables, TrainTables] {
    this.reverseTables ??= this.reverse();
    return [this.forward, this.reverseTables];
  }

  private everyRow(peaksOf: (tables: TrainTables) => Peaks): Peaks {
    const { mirror } = this.model;
    if (!mirror) return this.directions().map(peaksOf).reduce(together);
    const peaks = peaksOf(this.forward);
    return together(peaks, mirroredPeaks(mirror, peaks));
  }

  private passages(speedKmh: number): Peaks {
    const expected = this.expectedAt(speedKmh);
    const peaks = this.run(speedKmh, expected);
    const reached = this.reached(peaks);
    const { rest } = this.objectives;
    let missed = 0;
    const again = new Float64Array(reached.length).fill(Number.POSITIVE_INFINITY);
    for (let i = 0; i < reached.length; i++) {
      if (expected[i]! <= rest[i]! || reached[i]! > expected[i]!) continue;
      again[i] = reached[i]!;
      missed++;
    }
    return missed === 0 ? peaks : together(peaks, this.run(speedKmh, again));
  }

  private run(speedKmh: number, atLeast: Float64Array): Peaks {
    const { model, objectives, images } = this;
    if (model.mirror && images) {
      // What an objective need not be looked for, its image must not be either.
      const both = atLeast.map((value, i) => Math.min(value, atLeast[images[i]!]!));
      const peaks = runPassage(model, this.forward, metresPerSecond(speedKmh), { objectives, atLeast: both });
      return withReverse(peaks, model.mirror, objectives, images);
    }
    return this.inTurn(speedKmh, objectives, atLeast);
  }

  private inTurn(speedKmh: number, objectives: ObjectiveIndex, atLeast: Float64Array): Peaks {
    const options = { objectives, atLeast: atLeast.slice() };
    const [forward, reverse] = this.directions();
    const there = runPassage(this.model, forward, metresPerSecond(speedKmh), options);
    // What one direction has reached, the other need not look for.
    atLeastOf(options.atLeast, objectives.reached(there));
    const back = runPassage(this.model, reverse, metresPerSecond(speedKmh), options);
    return together(there, back);
  }

  private reached(peaks: Peaks): Float64Array {
    const reached = this.objectives.reached(peaks);
    atLeastOf(reached, this.objectives.rest);
    return reached;
  }

  private expectedAt(speedKmh: number): Float64Array {
    let below = Number.NEGATIVE_INFINITY;
    let above = Number.POSITIVE_INFINITY;
    for (const speed of this.seen.keys()) {
      if (speed < speedKmh) below = Math.max(below, speed);
      else above = Math.min(above, speed);
    }
    const lower = this.seen.get(below);
    const upper = this.seen.get(above);
    const share = lower && upper ? shareOfBoth : shareOfOne;
    const { rest } = this.objectives;
    const expected = new Float64Array(rest.length);
    for (let i = 0; i < rest.length; i++) {
      const least = Math.min(lower?.[i] ?? upper?.[i] ?? rest[i]!, upper?.[i] ?? lower?.[i] ?? rest[i]!);
      expected[i] = rest[i]! + share * (least - rest[i]!);
    }
    return expected;
  }
}

/** Raises values to those of others where they are lower. */
function atLeastOf(values: Float64Array, others: Float64Array): void {
  for (let i = 0; i < values.length; i++) if (others[i]! > values[i]!) values[i] = others[i]!;
}
