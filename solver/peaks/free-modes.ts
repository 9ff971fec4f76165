import { type RowSet, swingOf } from '../arithmetic/row-set.js';

/** Tells whether modes of given sizes could carry any row past its thresholds, with nothing else acting, time and again as they die away. */
export class FreeModes {
  /** The row that could be carried when last asked: mostly it still can. */
  private set = 0;
  private member = 0;

  constructor(private readonly sets: readonly RowSet[]) {}

  mayExceed(
    departureMost: Float64Array,
    accelerationMost: Float64Array,
    upper: Float64Array,
    lower: Float64Array,
  ): boolean {
    const exceeds = (set: RowSet, member: number) => {
      const swing = swingOf(set, member, set.acceleration ? accelerationMost : departureMost);
      const row = set.rows[member]!;
      return swing > upper[row]! || -swing < lower[row]!;
    };
    if (exceeds(this.sets[this.set]!, this.member)) return true;
    for (let index = 0; index < this.sets.length; index++) {
      const set = this.sets[index]!;
      for (let member = 0; member < set.rows.length; member++) {
        if (!exceeds(set, member)) continue;
        this.set = index;
        this.member = member;
        return true;
      }
    }
    return false;
  }
}
