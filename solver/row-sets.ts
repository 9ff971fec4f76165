import type { Modes } from './eigen.js';
import { type LocalCoordinates, toLocal } from './local-coordinates.js';
import { isAcceleration, type ResponseRow } from './response-rows.js';
import { type RowSet, swingOf } from './row-set.js';

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

/** A mode that moves no row of a set by more than this share of what the set's strongest mode does is left out. */
const negligible = 1e-7;

/**
 * Splits the rows into sets.
 *
 * @param modalValues rows x modes as in the dynamic model
 * @param local what the sets' `modes` and `values` refer to instead of the modes themselves
 */
export function buildRowSets(
  rows: readonly ResponseRow[],
  modes: Modes,
  modalValues: Float64Array,
  local: LocalCoordinates | null = null,
): readonly RowSet[] {
  const count = modes.shapes.length;
  const members = new Map<string, number[]>();
  rows.forEach((row, r) => {
    const key = `${row.quantity} ${row.span} ${row.x < 0}`;
    const list = members.get(key);
    if (list) list.push(r);
    else members.set(key, [r]);
  });
  return [...members.values()].map((members) => {
    // The middle first: where it is worst, the rest need not be looked at.
    const middle = (members.length - 1) / 2;
    const list = [...members].sort(
      (a, b) => Math.abs(members.indexOf(a) - middle) - Math.abs(members.indexOf(b) - middle),
    );
    const { quantity } = rows[list[0]!]!;
    const acceleration = isAcceleration(quantity);
    const factor = modes.angularFrequencies.map((w) => (acceleration ? 1 : 1 / (w * w)));
    const moved = list.map((r) => {
      const own = factor.map((share, j) => share * modalValues[r * count + j]!);
      if (!local) return own;
      const combined = new Float64Array(count);
      toLocal(local, own, 1, combined);
      return combined;
    });
    const most = factor.map((_, j) => Math.max(...moved.map((own) => Math.abs(own[j]!))));
    const threshold = negligible * Math.max(...most);
    const used = Int32Array.from(most.keys()).filter((j) => most[j]! > threshold);
    const values = new Float64Array(list.length * used.length);
    moved.forEach((own, i) => {
      used.forEach((j, k) => {
        values[i * used.length + k] = own[j]!;
      });
    });
    return {
      quantity,
      acceleration,
      rows: Int32Array.from(list),
      modes: used,
      values,
      most: Float64Array.from(used, (j) => most[j]!),
    };
  });
}
