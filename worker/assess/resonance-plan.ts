import type { SweptPoint } from './refine-sweep.js';
import type { ResonanceSpeed } from './resonance-speeds.js';
import { isNear } from './speed-order.js';

/** A check used to this share beside a resonance may be lifted over its limit by it. */
const hanging = 0.7;
/** Share of the resonance width, relative to the speed, within which a speed stands for another. */
const sameShare = 0.2;

/**
 * Which of the predicted resonances a sweep has to look at: strong ones in any case, weak ones where a check beside them is within its
 * limit by less than they may add.
 */
export class ResonancePlan {
  private weak: readonly ResonanceSpeed[];
  private readonly strong: readonly ResonanceSpeed[];

  /**
   * @param lines of every bound: what a stiffer deck feels between two speeds of the grid decides as well
   * @param strongest deck acceleration from which a resonance is looked at whatever is beside it, m/s²
   * @param dampingRatio smallest of all modes
   */
  constructor(
    lines: readonly ResonanceSpeed[],
    strongest: number,
    private readonly dampingRatio: number,
  ) {
    this.strong = lines.filter(({ acceleration }) => acceleration >= strongest);
    this.weak = lines.filter(({ acceleration }) => acceleration < strongest);
  }

  /** Adds the strong ones to the speeds that a sweep begins with. */
  addStrong(wanted: Set<number>): void {
    for (const { speedKmh } of this.strong) if (!this.isThere(wanted, speedKmh)) wanted.add(speedKmh);
  }

  /** The weak ones that may decide, each once. */
  deciding(points: readonly SweptPoint[]): number[] {
    const known = new Set(points.map(({ speedKmh }) => speedKmh));
    const found: number[] = [];
    const left: ResonanceSpeed[] = [];
    for (const line of this.weak) {
      if (!mayDecide(points, line.speedKmh)) left.push(line);
      else if (!this.isThere(known, line.speedKmh)) {
        found.push(line.speedKmh);
        known.add(line.speedKmh);
      }
    }
    this.weak = left;
    return found;
  }

  private isThere(speedsKmh: Iterable<number>, speedKmh: number): boolean {
    return isNear(speedsKmh, speedKmh, 0.5 * sameShare * this.dampingRatio * speedKmh);
  }
}

/** Whether a check that is within its limit on one side of the speed at least comes near to it or passes it on either. */
function mayDecide(points: readonly SweptPoint[], speedKmh: number): boolean {
  const after = points.findIndex((point) => point.speedKmh >= speedKmh);
  const beside = [points[after - 1], points[after]].filter((point) => point !== undefined);
  const keys = beside[0]?.utilisations.keys() ?? [];
  for (const key of keys) {
    const values = beside.map(({ utilisations }) => utilisations.get(key) ?? 0);
    if (Math.max(...values) >= hanging && Math.min(...values) <= 1) return true;
  }
  return false;
}
