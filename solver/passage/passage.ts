import type { BlockArithmetic } from '../arithmetic/block-arithmetic.js';
import { blockSteps, blockWidth, seam } from '../arithmetic/block-size.js';
import type { RowSet } from '../arithmetic/row-set.js';
import { arithmeticFor } from '../arithmetic/vector-arithmetic.js';
import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import { hasJumps } from '../jumps/force-breaks.js';
import { FreeModes } from '../peaks/free-modes.js';
import { type ObjectiveIndex, ObjectiveThresholds, type WantedRows } from '../peaks/objective.js';
import type { Peaks } from '../peaks/peaks.js';
import { OwnPeaksAsThresholds, type RowThresholds } from '../peaks/row-thresholds.js';
import { SetThresholds } from '../peaks/set-thresholds.js';
import { BlockScreen } from './block-screen.js';
import { ModalBlock } from './modal-block.js';
import { PeakRecorder } from './peak-recorder.js';
import { firstSettled, HeadPositions, lastSettled, RowHistory } from './row-history.js';
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
  const move = speed * timeStep;
  const travel = move / tables.step;
  const arithmetic = options.arithmetic ?? arithmeticFor(w.length);
  const sets = model.localSets;
  arithmetic.begin(tables.smoothForces, { sets, statics: tables.passages, setBounds: tables.setBounds });
  const upper = arithmetic.allocate(model.rows.length);
  const lower = arithmetic.allocate(model.rows.length);
  const { objectives, atLeast } = options;
  const thresholds = objectives
    ? new ObjectiveThresholds(objectives, atLeast, upper, lower)
    : new OwnPeaksAsThresholds(upper, lower);
  const wanted = objectives?.wantedOf(sets) ?? everyRowOf(model);
  const block = new ModalBlock(model, tables, timeStep, travel, arithmetic);
  const head = new HeadPositions(arithmetic);
  const history = new RowHistory(block, sets, head, model.rowBreaks);
  const freeModes = new FreeModes(sets);
  const setThresholds = new SetThresholds(arithmetic, sets, wanted, thresholds);
  const screen = new BlockScreen(block, sets, wanted, thresholds, setThresholds, head);
  const recorder = new PeakRecorder(model, block, history, head, thresholds, move);
  const crossing = Math.ceil((tables.count - 1) / travel);
  const end = crossing + seam + Math.ceil((longestFreePeriods * 2 * Math.PI) / w[0]! / timeStep);
  const mirror = tables.staticsMirroredAt;
  const statics = tables.passages;
  const examination = { sets, statics, thresholds, setThresholds, screen, history, recorder };
  for (let done = 0; ; done += blockSteps) {
    block.advance(done);
    const start = (done - seam + 1) * travel;
    const { rowStride } = tables;
    if (mirror === null) head.set(start / rowStride, travel / rowStride);
    else head.set((mirror - start) / rowStride, -travel / rowStride);
    examineRows(examination);
    if (done > crossing + seam) {
      block.freeAmplitudes(block.departureMost, block.accelerationMost);
      const mayRise = freeModes.mayExceed(block.departureMost, block.accelerationMost, upper, lower);
      if (done > end || !mayRise) return { ...recorder.peaks, steps: done + blockSteps };
    }
  }
}

/** What every block of a passage is examined with. */
interface Examination {
  readonly sets: readonly RowSet[];
  /** Static part of each row. */
  readonly statics: readonly (PositionTable | null)[];
  readonly thresholds: RowThresholds;
  readonly setThresholds: SetThresholds;
  readonly screen: BlockScreen;
  readonly history: RowHistory;
  readonly recorder: PeakRecorder;
}

/** Records what this block raises. */
function examineRows({
  sets,
  statics,
  thresholds: { upper, lower },
  setThresholds,
  screen,
  history,
  recorder,
}: Examination): void {
  const foundSets = screen.findSets();
  for (let setHit = 0; setHit < foundSets; setHit++) {
    const index = screen.set(setHit);
    if (setThresholds.update(index) && !screen.setMayStillExceed(setHit)) continue;
    const { rows } = sets[index]!;
    const found = screen.findRows(setHit);
    for (let hit = 0; hit < found; hit++) {
      const member = screen.member(hit);
      const row = rows[member]!;
      if (!screen.mayStillExceed(hit, upper[row]!, lower[row]!)) continue;
      const from = screen.from(hit);
      const to = screen.to(hit);
      const table = statics[row] ?? null;
      history.evaluate(index, member, table, from - firstSettled, Math.min(blockWidth - 1, to + 3));
      recorder.recordPeaks(row, table, from, Math.min(lastSettled, to));
      setThresholds.mark(index);
      setThresholds.updateAmong(index);
    }
  }
}

function everyRowOf(model: DynamicModel): readonly WantedRows[] {
  const wanted: WantedRows[] = [];
  for (const { rows } of model.localSets) {
    const members = new Int32Array(rows.length);
    for (let i = 0; i < members.length; i++) members[i] = i;
    wanted.push({ members, objectives: new Int32Array(0) });
  }
  return wanted;
}

/** The passage as v -> 0: static influence only, no acceleration. */
export function quasiStaticPeaks(model: DynamicModel, tables: TrainTables): Peaks {
  const count = model.rows.length;
  const peaks: Peaks = { largest: new Float64Array(count), smallest: new Float64Array(count) };
  for (let row = 0; row < count; row++) {
    const table = tables.statics[row];
    if (!table) continue;
    for (const high of table.highs) peaks.largest[row] = Math.max(peaks.largest[row]!, high);
    for (const low of table.lows) peaks.smallest[row] = Math.min(peaks.smallest[row]!, low);
  }
  return peaks;
}
