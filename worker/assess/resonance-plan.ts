import type { SweptPoint } from './refine-sweep.js';
import { type ResonanceSpeed, strongestFirst } from './resonance-speeds.js';
import { isNear } from './speed-order.js';

/** So many of the strongest within the speeds asked for are looked at in any case, for the largest values that a result shows. */
const always = 24;
/** A check used to this share beside a resonance may be lifted over its limit by it. */
const hanging = 0.7;
/** As any may be by so many times what the train leaves in the mode: modes that meet at one speed add up. */
const together = 2;
/** Share of the resonance width, relative to the speed, within which a speed stands for another. */
const sameShare = 0.2;

/**
 * Which of the predicted resonances a sweep has to look at: the strongest in any case, others where a check beside them is within its
 * limit by less than they may add.
 */
export class ResonancePlan {
  private others: readonly ResonanceSpeed[];
  private readonly strongest: readonly ResonanceSpeed[];

  /**
   * @param lines of every bound: what a stiffer deck feels between two speeds of the grid decides as well
   * @param fromKmh first speed asked for
   * @param dampingRatio smallest of all modes
   */
  constructor(
    lines: readonly ResonanceSpeed[],
    fromKmh: number,
    private readonly dampingRatio: number,
  ) {
    const asked = lines.filter(({ speedKmh }) => speedKmh >= fromKmh);
    this.strongest = asked.sort(strongestFirst).slice(0, always);
    const taken = new Set(this.strongest);
    this.others = lines.filter((line) => !taken.has(line));
  }

  /** Adds the strongest to the speeds that a sweep begins with. */
  addStrongest(wanted: Set<number>): void {
    for (const { speedKmh } of this.strongest) if (!this.isThere(wanted, speedKmh)) wanted.add(speedKmh);
  }

  /** Those of the others that may decide, each once. */
  deciding(points: readonly SweptPoint[]): number[] {
    const known = new Set(points.map(({ speedKmh }) => speedKmh));
    const found: number[] = [];
    const left: ResonanceSpeed[] = [];
    for (const line of this.others) {
      if (!this.mayDecide(points, line)) left.push(line);
      else if (!this.isThere(known, line.speedKmh)) {
        found.push(line.speedKmh);
        known.add(line.speedKmh);
      }
    }
    this.others = left;
    return found;
  }

  private isThere(speedsKmh: Iterable<number>, speedKmh: number): boolean {
    return isNear(speedsKmh, speedKmh, 0.5 * sameShare * this.dampingRatio * speedKmh);
  }

  /** Whether a check that is within its limit on one side of the speed at least comes near to it or passes it on either. */
  private mayDecide(points: readonly SweptPoint[], { speedKmh, lifts }: ResonanceSpeed): boolean {
    const after = points.findIndex((point) => point.speedKmh >= speedKmh);
    const beside = [points[after - 1], points[after]].filter((point) => point !== undefined);
    const keys = beside[0]?.nearness.keys() ?? [];
    for (const key of keys) {
      const values = beside.map(({ nearness }) => nearness.get(key) ?? 0);
      const most = Math.max(...values);
      const rises = most + together * (lifts.get(key) ?? 0) > 1;
      if ((rises || most >= hanging) && Math.min(...values) <= 1) return true;
    }
    return false;
  }
}
