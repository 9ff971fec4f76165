import type { BlockArithmetic } from './arithmetic/block-arithmetic.js';
import { blockSteps, blockWidth, seam } from './arithmetic/block-size.js';
import { arithmeticFor } from './arithmetic/vector-arithmetic.js';
import { BlockScreen } from './block-screen.js';
import { type BreakForces, columnOf } from './break-forces.js';
import { type Crossings, firstFrom } from './crossings.js';
import type { DynamicModel } from './dynamic-model.js';
import { hasJumps } from './force-breaks.js';
import { ModalBlock } from './modal-block.js';
import { type ObjectiveIndex, ObjectiveThresholds, type WantedRows } from './objective.js';
import { movingAtKink, peakBetweenSamples } from './peak-between-samples.js';
import type { Peaks } from './peaks.js';
import { firstSettled, HeadPositions, lastSettled, RowHistory } from './row-history.js';
import { FreeModes } from './row-sets.js';
import { isAbove, isBelow } from './ties.js';
import type { PositionTable, TrainTables } from './train-tables.js';

export interface PassagePeaks extends Peaks {
  /** Time steps taken. */
  readonly steps: number;
}

export interface PassageOptions {
  /** Samples per period of the highest mode, 8 unless given, 24 where forces jump; peaks between them are found by interpolation. */
  readonly samplesPerPeriod?: number;
  /**
   * What the peaks are wanted for. With objectives, the largest value of each objective over its rows is as exact as without, and is
   * found from the peaks of its rows; all else that is returned are values that were reached, not peaks. Without, every peak
   * of every row is found, which costs much more.
   */
  readonly objectives?: ObjectiveIndex;
  /** Of each objective, a value known to be reached: peaks that stay below it need not be found. */
  readonly atLeast?: Float64Array;
  /** For tests: the fastest of this runtime unless given. */
  readonly arithmetic?: BlockArithmetic;
}

/** m; a wheel moves no further in one time step. */
const longestMove = 0.25;
/** Free vibration is followed no longer than this many periods of the first mode; only without damping does it take so long. */
const longestFreePeriods = 10;
/** Columns; just before and just after a jump. */
const sides = [-1e-6, 1e-6];
/** The crest that a parabola finds beside a local maximum of the samples may be this much too low; more where forces jump. */
const smoothMargin = 0.01;
const jumpMargin = 0.1;

/**
 * One passage of a train at one speed: modal coordinates by the exact recurrence, rows from their static influence plus the
 * modes' departure from statics, q - p / w^2 (mode-acceleration form; R. R. Craig, Structural Dynamics, 1981, section 15.5),
 * accelerations from q'' of the modes. Runs on after the last axle until the free vibration cannot raise any peak.
 * Rows and blocks of time whose bound cannot raise a peak are skipped.
 *
 * @param speed m/s, above 0
 */
export function runPassage(
  model: DynamicModel,
  tables: TrainTables,
  speed: number,
  options: PassageOptions = {},
): PassagePeaks {
  const w = model.modes.angularFrequencies;
  const timeStep = Math.min(
    (2 * Math.PI) / w[w.length - 1]! / (options.samplesPerPeriod ?? (hasJumps(tables.breaks) ? 24 : 8)),
    Math.min(longestMove, model.shortestSpan / 40) / speed,
  );
  const peaks: Peaks = {
    largest: new Float64Array(model.rows.length),
    smallest: new Float64Array(model.rows.length),
  };
  const move = speed * timeStep;
  const travel = move / tables.step;
  const arithmetic = options.arithmetic ?? arithmeticFor(w.length);
  arithmetic.begin(tables.smoothForces, {
    sets: model.localSets,
    statics: tables.passages,
    setBounds: tables.setBounds,
  });
  // Without objectives whatever is higher than the row has been.
  const upper = arithmetic.allocate(model.rows.length);
  const lower = arithmetic.allocate(model.rows.length);
  const thresholds =
    options.objectives && new ObjectiveThresholds(options.objectives, options.atLeast, upper, lower);
  const block = new ModalBlock(model, tables, timeStep, travel, arithmetic);
  const crestMargin = block.jumps ? jumpMargin : smoothMargin;
  const head = new HeadPositions(arithmetic);
  const history = new RowHistory(block, model.localSets, head);
  const freeModes = new FreeModes(model.localSets);
  /** Smallest upper and largest lower threshold of each row set. */
  const leastUpper = arithmetic.allocate(model.localSets.length);
  const greatestLower = arithmetic.allocate(model.localSets.length);
  /** Mean size that matters in the rows of each set. */
  const typicalThreshold = new Float64Array(model.localSets.length);
  const wanted = options.objectives?.wantedOf(model.localSets) ?? everyRowOf(model);
  /** Rises of its objectives when each row set was last brought up to date. */
  const refreshed = new Int32Array(model.localSets.length).fill(-1);
  /** Rises of all objectives when each set was last seen to be up to date. */
  const checkedAt = new Int32Array(model.localSets.length).fill(-1);
  /** Sets whose own rows rose since. */
  const rose = new Uint8Array(model.localSets.length);
  const screen = new BlockScreen(
    block,
    model.localSets,
    wanted,
    upper,
    lower,
    leastUpper,
    greatestLower,
    head,
  );
  for (let index = 0; index < wanted.length; index++) refreshSet(index);
  const crossing = Math.ceil((tables.count - 1) / travel);
  const end = crossing + seam + Math.ceil((longestFreePeriods * 2 * Math.PI) / w[0]! / timeStep);
  const mirror = tables.staticsMirroredAt;

  for (let done = 0; ; done += blockSteps) {
    block.advance(done);
    const start = (done - seam + 1) * travel;
    const { rowStride } = tables;
    if (mirror === null) head.set(start / rowStride, travel / rowStride);
    else head.set((mirror - start) / rowStride, -travel / rowStride);
    examineRows();
    if (done > crossing + seam) {
      block.freeAmplitudes(block.departureMost, block.accelerationMost);
      const mayRise = freeModes.mayExceed(block.departureMost, block.accelerationMost, upper, lower);
      if (done > end || !mayRise) return { ...peaks, steps: done + blockSteps };
    }
  }

  function examineRows(): void {
    const sets = screen.findSets();
    for (let setHit = 0; setHit < sets; setHit++) {
      const index = screen.set(setHit);
      if (rose[index] === 1 || isStale(index)) {
        refreshSet(index);
        if (!screen.setMayStillExceed(setHit, leastUpper[index]!, greatestLower[index]!)) continue;
      }
      const { rows } = model.localSets[index]!;
      const found = screen.findRows(setHit, typicalThreshold[index]!);
      for (let hit = 0; hit < found; hit++) {
        const member = screen.member(hit);
        const row = rows[member]!;
        if (!screen.mayStillExceed(hit, upper[row]!, lower[row]!)) continue;
        const from = screen.from(hit);
        const to = screen.to(hit);
        history.evaluate(index, member, from - firstSettled, Math.min(blockWidth - 1, to + 3));
        recordPeaks(row, tables.passages[row] ?? null, from, Math.min(lastSettled, to));
        rose[index] = 1;
        if (isStale(index)) refreshSet(index);
      }
    }
  }

  /** Whether an objective of the set's rows rose by rows that may stand elsewhere. */
  function isStale(index: number): boolean {
    const risesInAll = thresholds?.risesInAll ?? 0;
    if (checkedAt[index] === risesInAll) return false;
    if (refreshed[index] !== risesOf(index)) return true;
    checkedAt[index] = risesInAll;
    return false;
  }

  function risesOf(index: number): number {
    if (!thresholds) return 0;
    const { objectives } = wanted[index]!;
    let rises = 0;
    for (let i = 0; i < objectives.length; i++) rises += thresholds.rises[objectives[i]!]!;
    return rises;
  }

  function refreshSet(index: number): void {
    const { rows } = model.localSets[index]!;
    const rises = risesOf(index);
    if (refreshed[index] !== rises) thresholds?.refresh(rows);
    refreshed[index] = rises;
    rose[index] = 0;
    let least = Number.POSITIVE_INFINITY;
    let greatest = Number.NEGATIVE_INFINITY;
    let sum = 0;
    const { members } = wanted[index]!;
    for (let i = 0; i < members.length; i++) {
      const row = rows[members[i]!]!;
      const up = upper[row]!;
      const low = lower[row]!;
      if (up < least) least = up;
      if (low > greatest) greatest = low;
      sum += Math.max(0, Math.min(up, -low));
    }
    leastUpper[index] = least;
    greatestLower[index] = greatest;
    typicalThreshold[index] = sum / members.length;
  }

  function recordPeaks(row: number, table: PositionTable | null, from: number, to: number): void {
    recordCrests(row, table, from, to);
    if (table?.crossings) recordCrossings(row, table.crossings, from - 0.5, to + 0.5);
    if (!table && block.breaks) recordKinks(row, block.breaks, from - 0.5, to + 0.5);
  }

  /** Accelerations follow the force on the modes: where an axle crosses a break they have a kink, and where forces jump two sides. */
  function recordKinks(row: number, { breaks, crossings }: BreakForces, from: number, to: number): void {
    for (let n = 0; n < crossings.length; n++) {
      const crossing = crossings[n]!;
      const column = columnOf(crossing);
      if (column <= from || column > to) continue;
      const kinkPerMetre = model.kinks[row * breaks.positions.length + crossing.index]!;
      const kink = kinkPerMetre * crossing.load * move;
      if (!block.jumps) record(row, movingAtKink(history, column, -kink));
      else for (const side of sides) record(row, movingAtKink(history, column + side, -kink));
    }
  }

  /** What the modes do is smooth where an axle crosses a jump of the row; the static part has its values of both sides from the table. */
  function recordCrossings(row: number, crossings: Crossings, from: number, to: number): void {
    const { heads, highs, lows, kinks } = crossings;
    const ends = [head.start + head.rate * from, head.start + head.rate * to];
    const last = Math.max(...ends);
    for (let k = firstFrom(heads, Math.min(...ends)); k < heads.length && heads[k]! <= last; k++) {
      const moving = movingAtKink(history, (heads[k]! - head.start) / head.rate, kinks[k]! * move);
      record(row, moving + highs[k]!);
      record(row, moving + lows[k]!);
    }
  }

  function recordCrests(row: number, table: PositionTable | null, from: number, to: number): void {
    // The highest and the lowest sample first: most other crests then stay below what is known.
    const first = nextCrest(row, from, to);
    if (first > to) return;
    const { total } = history;
    let highest = first;
    let lowest = first;
    for (let b = first; b <= to; b = nextCrest(row, b + 1, to)) {
      if (total[b]! > total[highest]!) highest = b;
      if (total[b]! < total[lowest]!) lowest = b;
    }
    recordCrest(row, table, highest);
    if (lowest !== highest) recordCrest(row, table, lowest);
    for (let b = nextCrest(row, first, to); b <= to; b = nextCrest(row, b + 1, to))
      if (b !== highest && b !== lowest) recordCrest(row, table, b);
  }

  function nextCrest(row: number, from: number, to: number): number {
    return arithmetic.nextCrest(history.total, from, to, upper[row]!, lower[row]!, crestMargin);
  }

  /** Looks for the peak around a column, if it is a local maximum or minimum whose crest may pass a threshold. */
  function recordCrest(row: number, table: PositionTable | null, column: number): void {
    const { total } = history;
    const value = total[column]!;
    const before = total[column - 1]!;
    const after = total[column + 1]!;
    const curvature = 2 * value - before - after;
    const isHigh = value >= before && value >= after;
    const isLow = value <= before && value <= after;
    if (isHigh === isLow) return;
    const crest = curvature === 0 ? value : value + (after - before) ** 2 / (8 * curvature);
    if (isHigh && crest + crestMargin * Math.abs(crest) > upper[row]!)
      record(row, peakBetweenSamples(history, table, head, column, 1));
    else if (isLow && crest - crestMargin * Math.abs(crest) < lower[row]!)
      record(row, -peakBetweenSamples(history, table, head, column, -1));
  }

  function record(row: number, value: number): void {
    if (isAbove(value, upper[row]!)) {
      peaks.largest[row] = Math.max(peaks.largest[row]!, value);
      if (thresholds) thresholds.raise(row, value);
      else upper[row] = value;
    } else if (isBelow(value, lower[row]!)) {
      peaks.smallest[row] = Math.min(peaks.smallest[row]!, value);
      if (thresholds) thresholds.raise(row, value);
      else lower[row] = value;
    }
  }
}

function everyRowOf(model: DynamicModel): readonly WantedRows[] {
  return model.localSets.map(({ rows }) => ({
    members: Int32Array.from(rows.keys()),
    objectives: new Int32Array(0),
  }));
}

/** The passage as v -> 0: static influence only, no acceleration. */
export function quasiStaticPeaks(model: DynamicModel, tables: TrainTables): Peaks {
  const count = model.rows.length;
  const peaks: Peaks = { largest: new Float64Array(count), smallest: new Float64Array(count) };
  tables.statics.forEach((table, row) => {
    if (!table) return;
    for (const high of table.highs) peaks.largest[row] = Math.max(peaks.largest[row]!, high);
    for (const low of table.lows) peaks.smallest[row] = Math.min(peaks.smallest[row]!, low);
  });
  return peaks;
}
