import { blockSteps, blockWidth } from '../arithmetic/block-size.js';
import { allocateHits, type RowScreen, type SetScreen } from '../arithmetic/row-screen.js';
import { largestSwing, type RowSet } from '../arithmetic/row-set.js';
import type { WantedRows } from '../peaks/objective.js';
import type { RowThresholds } from '../peaks/row-thresholds.js';
import type { SetThresholds } from '../peaks/set-thresholds.js';
import type { ModalBlock } from './modal-block.js';
import { firstSettled, type HeadPositions } from './row-history.js';

/** Shares of the rows' thresholds that the bound may be loose by, for leaving out weak modes and for leaving out columns. */
const modeShare = 0.05;
const columnShare = 0.15;
/** Columns; short enough to tell which part of a block matters. */
const longestStride = 16;
/** A bound that costs more than this share of the row itself is not worth it. */
const worthwhile = 1 / 3;

/**
 * Tells which rows of a set may exceed their thresholds in a block, by an upper bound that costs little: the strong modes at every
 * few columns, plus what the other modes could add at most, plus what lies between the columns at most (an eighth of the
 * second difference over the stride).
 */
export class BlockScreen {
  private readonly contributions: Float64Array;
  private readonly starts: Int32Array;
  private readonly setAnswer: SetScreen;
  private readonly answer: RowScreen;

  /**
   * @param sets the model's
   * @param wanted rows of each
   * @param ofRows thresholds of every row of the model, in room of the block's arithmetic
   */
  constructor(
    private readonly block: ModalBlock,
    private readonly sets: readonly RowSet[],
    private readonly wanted: readonly WantedRows[],
    { upper, lower }: RowThresholds,
    private readonly thresholds: SetThresholds,
    { stretches }: HeadPositions,
  ) {
    const { arithmetic, departureMost, accelerationMost } = block;
    const modeCount = departureMost.length;
    let most = 0;
    this.contributions = new Float64Array(modeCount);
    this.starts = new Int32Array(wanted.length + 1);
    for (let set = 0; set < wanted.length; set++) {
      const { length } = wanted[set]!.members;
      this.starts[set + 1] = this.starts[set]! + length;
      most = Math.max(most, length);
    }
    const members = arithmetic.allocateIntegers(this.starts[wanted.length]!);
    for (let set = 0; set < wanted.length; set++) members.set(wanted[set]!.members, this.starts[set]!);
    const { leastUpper, greatestLower } = thresholds;
    this.setAnswer = {
      ...{ departureMost, accelerationMost, leastUpper, greatestLower, stretches },
      ...allocateHits(arithmetic, sets.length),
    };
    this.answer = {
      ...{ set: 0, members, first: 0, count: 0, most: departureMost, upper, lower },
      ...{ setHigh: 0, setLow: 0, stretches },
      ...{ chosen: arithmetic.allocateIntegers(modeCount), chosenCount: 0 },
      samples: arithmetic.allocate(modeCount * (blockSteps + 1)),
      ...{ columns: 0, stride: 0, firstColumn: firstSettled, slack: 0 },
      history: arithmetic.allocate(blockSteps + 1),
      ...allocateHits(arithmetic, most),
      from: arithmetic.allocateIntegers(most),
      to: arithmetic.allocateIntegers(most),
    };
  }

  /**
   * Finds the sets any row of which reaches beyond its threshold in this block, as far as bounds tell: they are good until the next search.
   *
   * @returns how many
   */
  findSets(): number {
    return this.block.arithmetic.screenSets(this.setAnswer);
  }

  /** A set that was found. */
  set(hit: number): number {
    return this.setAnswer.hits[hit]!;
  }

  /** Whether a set that was found is still in question now that thresholds may have risen. */
  setMayStillExceed(hit: number): boolean {
    const { hits, tops, bottoms, leastUpper, greatestLower } = this.setAnswer;
    const index = hits[hit]!;
    return tops[hit]! > leastUpper[index]! || bottoms[hit]! < greatestLower[index]!;
  }

  /**
   * Finds the wanted rows of a set that was found that reach beyond their thresholds: `member`, `from` and `to` of each are good until the
   * next search. The bounds are made as loose as a small share of what matters in the rows allows.
   *
   * @returns how many
   */
  findRows(setHit: number): number {
    const { answer, block } = this;
    const { arithmetic } = block;
    const index = this.set(setHit);
    const set = this.sets[index]!;
    answer.setHigh = this.setAnswer.highs[setHit]!;
    answer.setLow = this.setAnswer.lows[setHit]!;
    answer.most = set.acceleration ? block.accelerationMost : block.departureMost;
    answer.set = index;
    answer.first = this.starts[index]!;
    answer.count = this.wanted[index]!.members.length;
    const found = arithmetic.screenSizes(answer);
    if (found === 0) return 0;
    if (this.gather(set, this.thresholds.typical[index]!)) return arithmetic.screenSamples(answer, found);
    answer.from.fill(firstSettled, 0, found);
    answer.to.fill(blockSteps + firstSettled, 0, found);
    return found;
  }

  /** Place in its set of a row that was found. */
  member(hit: number): number {
    return this.answer.hits[hit]!;
  }

  /** First and last column in question of a row that was found. */
  from(hit: number): number {
    return this.answer.from[hit]!;
  }

  to(hit: number): number {
    return this.answer.to[hit]!;
  }

  /** Whether a row that was found is still in question now that thresholds may have risen. */
  mayStillExceed(hit: number, upper: number, lower: number): boolean {
    return this.answer.tops[hit]! > upper || this.answer.bottoms[hit]! < lower;
  }

  /**
   * Gathers the strong modes at the stride.
   *
   * @returns whether that is worth it: with many strong modes at many columns the rows themselves cost little more
   */
  private gather(set: RowSet, threshold: number): boolean {
    const { block, answer, contributions } = this;
    const { most, chosen, samples } = answer;
    const source = set.acceleration ? block.acceleration : block.departure;
    const bending = largestSwing(set, set.acceleration ? block.accelerationBend : block.departureBend);
    let stride = 1;
    while (stride < longestStride && (bending * stride * stride * 4) / 8 <= columnShare * threshold)
      stride *= 2;
    // Beside a jump a row may stand by the whole second difference above its samples.
    let slack = bending * (block.jumps && stride === 1 ? 1 : (stride * stride) / 8);
    const modeCount = set.modes.length;
    for (let k = 0; k < modeCount; k++) contributions[k] = set.most[k]! * most[set.modes[k]!]!;
    // Modes no stronger than a level are left out; the level falls until their sum keeps to its share.
    const budget = modeShare * threshold;
    let level = budget;
    let left = 0;
    do {
      level /= 2;
      left = 0;
      for (let k = 0; k < modeCount; k++) if (contributions[k]! <= level) left += contributions[k]!;
    } while (left > budget);
    slack += left;
    let count = 0;
    for (let k = 0; k < modeCount; k++) if (contributions[k]! > level) chosen[count++] = k;
    const columns = blockSteps / stride + 1;
    answer.chosenCount = count;
    answer.stride = stride;
    answer.columns = columns;
    answer.slack = slack;
    if (columns * count > worthwhile * blockWidth * modeCount) return false;
    for (let c = 0; c < count; c++) {
      const base = set.modes[chosen[c]!]! * blockWidth + firstSettled;
      for (let column = 0; column < columns; column++)
        samples[c * columns + column] = source[base + column * stride]!;
    }
    return true;
  }
}
