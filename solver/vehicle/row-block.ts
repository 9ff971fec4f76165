import type { BlockArithmetic } from '../arithmetic/block-arithmetic.js';
import { allocateHits, type SizeScreen } from '../arithmetic/row-screen.js';
import { largestSwing, type RowSet, swingOf } from '../arithmetic/row-set.js';
import { arithmeticFor } from '../arithmetic/vector-arithmetic.js';
import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import { FreeModes } from '../peaks/free-modes.js';
import type { ObjectiveThresholds } from '../peaks/objective.js';
import type { Peaks } from '../peaks/peaks.js';
import { isAbove, isBelow } from '../peaks/ties.js';
import { isMoment } from '../rows/response-rows.js';
import type { Consist } from './consist.js';
import type { CoupledRun } from './coupled-run.js';
import { RowHistory } from './row-history.js';
import { cellOf, type RowInfluence, type TrainInfluence } from './row-influence.js';
import { StepBlock } from './step-block.js';

/** The modes come from the coupled run, not from tables of forces. */
const noForces = [new Float64Array(1)];

/**
 * Peaks of all rows of a coupled run: static influence of the static wheel loads and of what the forces differ from them, plus the modes' departure from statics
 * (mode-acceleration form, as in solver/passage/passage.ts), accelerations from the modes. Steps are kept in blocks; a row is looked at only
 * in blocks whose bound can beat its peaks.
 */
export class RowBlock {
  readonly peaks: Peaks;
  private readonly arithmetic: BlockArithmetic;
  private readonly block: StepBlock;
  private readonly history: RowHistory;
  private readonly screen: SizeScreen;
  private readonly upper: Float64Array;
  private readonly lower: Float64Array;
  private readonly smooth: readonly boolean[];
  private readonly freeModes: FreeModes;

  /** @param thresholds what the peaks are wanted for; null: every peak of every row */
  constructor(
    private readonly model: DynamicModel,
    private readonly influence: TrainInfluence,
    consist: Consist,
    private readonly thresholds: ObjectiveThresholds | null,
  ) {
    const arithmetic = arithmeticFor(model.modes.shapes.length);
    arithmetic.begin(noForces, influence.screened);
    this.arithmetic = arithmetic;
    this.peaks = {
      largest: new Float64Array(model.rows.length),
      smallest: new Float64Array(model.rows.length),
    };
    this.upper = thresholds?.upper ?? this.peaks.largest;
    this.lower = thresholds?.lower ?? this.peaks.smallest;
    this.block = new StepBlock(model, consist, arithmetic);
    this.history = new RowHistory(this.block, arithmetic);
    this.screen = screenOf(model.rowSets, model.rows.length, this.block.departureMost, arithmetic);
    this.freeModes = new FreeModes(model.rowSets);
    this.smooth = model.rows.map((row) => row.direct.length === 0 || isMoment(row.quantity));
  }

  /** Takes over the state of the run at the end of a step; full blocks are evaluated. */
  record(run: CoupledRun): void {
    if (this.block.take(run)) this.evaluate();
  }

  /** Evaluates what is in the block. */
  evaluate(): void {
    const { block } = this;
    block.takeMost();
    for (let index = 0; index < this.model.rowSets.length; index++) {
      const set = this.model.rowSets[index]!;
      const modalMost = set.acceleration ? block.accelerationMost : block.departureMost;
      this.thresholds?.refresh(set.rows);
      if (set.acceleration && this.cannotRise(set, modalMost)) continue;
      const found = this.findRows(index, modalMost);
      for (let hit = 0; hit < found; hit++) {
        const i = this.screen.hits[hit]!;
        const influences = this.influence.rows[set.rows[i]!] ?? null;
        const alike = influences?.largest === influences?.smallest;
        const swing = swingOf(set, i, modalMost);
        let grew = this.examine(set, i, influences?.largest ?? null, swing, alike ? 0 : 1);
        if (!alike) grew = this.examine(set, i, influences?.smallest ?? null, swing, -1) || grew;
        if (grew) this.thresholds?.refresh(set.rows);
      }
    }
    block.keepSeam();
  }

  /** Whether free vibration of the present size could still raise a peak; asked when no wheel is on the line. */
  canRise(run: CoupledRun): boolean {
    const { modes } = this.model;
    const { departureMost, accelerationMost } = this.block;
    for (let j = 0; j < departureMost.length; j++) {
      const w = modes.angularFrequencies[j]!;
      const most = Math.hypot(run.coordinates[j]! * w * w, run.velocities[j]! * w);
      departureMost[j] = most;
      accelerationMost[j] = most;
    }
    return this.freeModes.mayExceed(departureMost, accelerationMost, this.upper, this.lower);
  }

  private cannotRise(set: RowSet, modalMost: Float64Array): boolean {
    const { rows } = set;
    const swing = largestSwing(set, modalMost);
    for (let i = 0; i < rows.length; i++)
      if (swing > this.upper[rows[i]!]! || -swing < this.lower[rows[i]!]!) return false;
    return true;
  }

  /** Rows of a set that static train, modes and the change of the wheels' forces could carry past their thresholds, by quick bounds. */
  private findRows(index: number, modalMost: Float64Array): number {
    const { screen, upper, lower } = this;
    const { places, columns, surplusSum } = this.block;
    const { lineMost } = this.influence;
    const { rows } = this.model.rowSets[index]!;
    for (let i = 0; i < rows.length; i++) {
      const row = rows[i]!;
      const widest = surplusSum * lineMost[row]!;
      screen.upper[row] = upper[row]! - widest;
      screen.lower[row] = lower[row]! + widest;
    }
    screen.stretches[0] = cellOf(places[0]!);
    screen.stretches[1] = cellOf(places[columns - 1]!);
    screen.set = index;
    screen.count = rows.length;
    screen.most = modalMost;
    return this.arithmetic.screenSizes(screen);
  }

  /**
   * Looks for peaks of a row of a set.
   *
   * @param side 1 for the largest value only, -1 for the smallest only, 0 for both
   * @returns whether any grew
   */
  private examine(
    set: RowSet,
    member: number,
    influence: RowInfluence | null,
    swing: number,
    side: -1 | 0 | 1,
  ): boolean {
    const row = set.rows[member]!;
    const { history } = this;
    const upper = this.upper[row]!;
    const lower = this.lower[row]!;
    if (!history.begin(influence, swing, upper, lower)) return false;
    history.addModes(set, member);
    if (influence) {
      if (!history.reaches(upper, lower)) return false;
      history.addSurplus(influence);
    }
    history.findExtremes(this.smooth[row]!);
    return this.takePeaks(row, side);
  }

  /** Whether any peak grew. */
  private takePeaks(row: number, side: -1 | 0 | 1): boolean {
    const { largest, smallest } = this.history;
    const rises = side >= 0 && isAbove(largest, this.upper[row]!);
    const falls = side <= 0 && isBelow(smallest, this.lower[row]!);
    if (rises) {
      this.peaks.largest[row] = Math.max(this.peaks.largest[row]!, largest);
      this.thresholds?.raise(row, largest);
    }
    if (falls) {
      this.peaks.smallest[row] = Math.min(this.peaks.smallest[row]!, smallest);
      this.thresholds?.raise(row, smallest);
    }
    return rises || falls;
  }
}

/** Asks about all rows of a set, on their own bounds alone. */
function screenOf(
  sets: readonly RowSet[],
  rowCount: number,
  most: Float64Array,
  arithmetic: BlockArithmetic,
): SizeScreen {
  const largest = sets.reduce((count, { rows }) => Math.max(count, rows.length), 0);
  const members = arithmetic.allocateIntegers(largest);
  for (let member = 0; member < largest; member++) members[member] = member;
  return {
    ...{ set: 0, members, first: 0, count: 0, most },
    upper: arithmetic.allocate(rowCount),
    lower: arithmetic.allocate(rowCount),
    ...{ setHigh: Number.POSITIVE_INFINITY, setLow: Number.NEGATIVE_INFINITY },
    stretches: arithmetic.allocateIntegers(2),
    ...allocateHits(arithmetic, largest),
  };
}
