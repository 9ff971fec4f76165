import { type Objective, ObjectiveIndex } from '../../solver/peaks/objective.js';
import { meeting, type Peaks, together } from '../../solver/peaks/peaks.js';
import type { TrainPassages } from './train-passages.js';

/**
 * Peaks of trains that meet, exact for every row from which an objective has its worst value, far cheaper than the peaks of every row.
 * A row can only be worse than a sum already known where each track alone takes it beyond what the other tracks' own worst values leave of
 * that sum; rows that stay below on any track are not looked for.
 */
export class MeetingPeaks {
  /** One objective for every row and sign that any objective takes, and the numbers of those of each entry. */
  private readonly single: SingleRows;
  /** Entries that had the worst sum of each objective, the latest first. */
  private readonly governing: number[][];

  constructor(
    private readonly tracks: readonly TrainPassages[],
    private readonly objectives: ObjectiveIndex,
  ) {
    this.single = singleRows(objectives);
    this.governing = objectives.objectives.map(() => []);
  }

  peaksAt(speedKmh: number): Peaks {
    const { tracks, objectives } = this;
    const alone = tracks.map((track) => track.peaksAt(speedKmh));
    const best = alone.map((peaks) =>
      objectives.reached(peaks).map((value, g) => Math.max(value, objectives.rest[g]!)),
    );
    const probes = this.probesOf(alone);
    const probed = tracks.map((track, k) => together(alone[k]!, track.peaksBeyond(speedKmh, probes)));
    const known = objectives.reached(probed.reduce(meeting));
    const found = tracks.map((track, k) =>
      together(probed[k]!, track.peaksBeyond(speedKmh, this.single.index, this.floorsOf(k, known, best))),
    );
    const sum = found.reduce(meeting);
    this.remember(sum);
    return sum;
  }

  /** The rows that are likely to govern: those that did at other speeds, and those that govern on a track alone. */
  private probesOf(alone: readonly Peaks[]): ObjectiveIndex {
    const { objectives } = this.objectives;
    const rows = objectives.flatMap((objective, g) => {
      const entries = new Set([...this.governing[g]!, ...alone.map((peaks) => worstEntry(objective, peaks))]);
      return [...entries].map((entry) => singleRow(objective.rows[entry]!, objective.weights[entry]!));
    });
    return new ObjectiveIndex(rows, this.objectives.rowCount);
  }

  /** What a row has to exceed on track k to be part of a sum worse than the known ones. */
  private floorsOf(k: number, known: Float64Array, best: readonly Float64Array[]): Float64Array {
    const { numbers, index } = this.single;
    const floors = new Float64Array(index.objectives.length).fill(Number.POSITIVE_INFINITY);
    this.objectives.objectives.forEach(({ weights, offsets }, g) => {
      for (let i = 0; i < weights.length; i++) {
        let left = known[g]! - offsets[i]!;
        best.forEach((own, other) => {
          if (other !== k) left -= own[g]! - offsets[i]!;
        });
        const number = numbers[g]![i]!;
        floors[number] = Math.min(floors[number]!, Math.max(0, left / Math.abs(weights[i]!)));
      }
    });
    return floors;
  }

  private remember(sum: Peaks): void {
    this.objectives.objectives.forEach((objective, g) => {
      const entry = worstEntry(objective, sum);
      this.governing[g] = [entry, ...this.governing[g]!.filter((other) => other !== entry)].slice(
        0,
        remembered,
      );
    });
  }
}

/** Governing rows kept per objective. */
const remembered = 2;

interface SingleRows {
  readonly index: ObjectiveIndex;
  /** By objective and entry. */
  readonly numbers: readonly Int32Array[];
}

function singleRows({ objectives, rowCount }: ObjectiveIndex): SingleRows {
  const known = new Map<number, number>();
  const rows: Objective[] = [];
  const numbers = objectives.map((objective) =>
    Int32Array.from(objective.rows, (row, i) => {
      const key = 2 * row + (objective.weights[i]! > 0 ? 0 : 1);
      const number = known.get(key) ?? rows.length;
      if (number === rows.length) rows.push(singleRow(row, objective.weights[i]!));
      known.set(key, number);
      return number;
    }),
  );
  return { index: new ObjectiveIndex(rows, rowCount), numbers };
}

/** The largest or the smallest value of one row. */
function singleRow(row: number, weight: number): Objective {
  return {
    rows: Int32Array.of(row),
    weights: Float64Array.of(Math.sign(weight)),
    offsets: Float64Array.of(0),
  };
}

function worstEntry({ rows, weights, offsets }: Objective, { largest, smallest }: Peaks): number {
  let worst = 0;
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < rows.length; i++) {
    const value = offsets[i]! + weights[i]! * (weights[i]! > 0 ? largest[rows[i]!]! : smallest[rows[i]!]!);
    if (value <= most) continue;
    most = value;
    worst = i;
  }
  return worst;
}
