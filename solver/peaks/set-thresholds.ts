import type { BlockArithmetic } from '../arithmetic/block-arithmetic.js';
import type { RowSet } from '../arithmetic/row-set.js';
import type { WantedRows } from './objective.js';
import type { RowThresholds } from './row-thresholds.js';

/** Thresholds of rows put together set by set; they are brought up to date when somebody asks, until then they are lower than need be. */
export class SetThresholds {
  /** Smallest upper and largest lower threshold of each set. */
  readonly leastUpper: Float64Array;
  readonly greatestLower: Float64Array;
  /** Mean size that matters in the rows of each set. */
  readonly typical: Float64Array;
  /** Rises of its objectives when each set was last brought up to date. */
  private readonly refreshed: Int32Array;
  /** Rises of all objectives when each set was last seen to be up to date. */
  private readonly checkedAt: Int32Array;
  /** Sets whose own rows rose since. */
  private readonly rose: Uint8Array;

  /**
   * @param sets the model's
   * @param wanted rows of each
   * @param ofRows of every row of the model
   */
  constructor(
    arithmetic: BlockArithmetic,
    private readonly sets: readonly RowSet[],
    private readonly wanted: readonly WantedRows[],
    private readonly ofRows: RowThresholds,
  ) {
    this.leastUpper = arithmetic.allocate(sets.length);
    this.greatestLower = arithmetic.allocate(sets.length);
    this.typical = new Float64Array(sets.length);
    this.refreshed = new Int32Array(sets.length).fill(-1);
    this.checkedAt = new Int32Array(sets.length).fill(-1);
    this.rose = new Uint8Array(sets.length);
    for (let index = 0; index < sets.length; index++) this.refresh(index);
  }

  /** Marks a set one of whose own rows was looked at closely. */
  mark(index: number): void {
    this.rose[index] = 1;
  }

  /** Brings a set up to date, if need be because of its own rows. Returns whether there was need. */
  update(index: number): boolean {
    if (this.rose[index] === 0 && !this.isStale(index)) return false;
    this.refresh(index);
    return true;
  }

  /** Brings a set up to date, if need be because of rows that may stand elsewhere. */
  updateAmong(index: number): void {
    if (this.isStale(index)) this.refresh(index);
  }

  /** Whether an objective of the set's rows rose by rows that may stand elsewhere. */
  private isStale(index: number): boolean {
    const { risesInAll } = this.ofRows;
    if (this.checkedAt[index] === risesInAll) return false;
    if (this.refreshed[index] !== this.risesOf(index)) return true;
    this.checkedAt[index] = risesInAll;
    return false;
  }

  private risesOf(index: number): number {
    const { rises: each } = this.ofRows;
    const { objectives } = this.wanted[index]!;
    let rises = 0;
    for (let i = 0; i < objectives.length; i++) rises += each[objectives[i]!]!;
    return rises;
  }

  private refresh(index: number): void {
    const { upper, lower } = this.ofRows;
    const { rows } = this.sets[index]!;
    const rises = this.risesOf(index);
    if (this.refreshed[index] !== rises) this.ofRows.refresh(rows);
    this.refreshed[index] = rises;
    this.rose[index] = 0;
    let least = Number.POSITIVE_INFINITY;
    let greatest = Number.NEGATIVE_INFINITY;
    let sum = 0;
    const { members } = this.wanted[index]!;
    for (let i = 0; i < members.length; i++) {
      const row = rows[members[i]!]!;
      const up = upper[row]!;
      const low = lower[row]!;
      if (up < least) least = up;
      if (low > greatest) greatest = low;
      sum += Math.max(0, Math.min(up, -low));
    }
    this.leastUpper[index] = least;
    this.greatestLower[index] = greatest;
    this.typical[index] = sum / members.length;
  }
}
