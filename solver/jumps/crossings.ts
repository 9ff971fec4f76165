import { type InfluenceLine, jumpAt, ordinateAt } from './influence-jumps.js';

/** Places of a train's head at which an axle stands on a jump of an influence line, in ascending order. */
export interface Crossings {
  /** In samples of the train's table. */
  readonly heads: Float64Array;
  /** Static response there, with every axle that stands on a jump on whichever side gives more, or less. */
  readonly highs: Float64Array;
  readonly lows: Float64Array;
  /** Per metre: by how much the slope of the modes' part of it changes. */
  readonly kinks: Float64Array;
}

/**
 * The response jumps there, from one side's value to the other's, which samples between would miss.
 *
 * @param shifts of the axles behind the head, in samples of the line, ascending
 * @param stride samples of the line per sample of the table
 * @returns null for a line without jumps
 */
export function findCrossings(
  line: InfluenceLine,
  shifts: Float64Array,
  loads: Float64Array,
  stride: number,
): Crossings | null {
  const { jumps, first, values } = line;
  if (jumps.length === 0) return null;
  const found = jumps.flatMap(({ at }) =>
    Array.from(shifts, (shift) => {
      const head = at + shift;
      let high = 0;
      let low = 0;
      let kink = 0;
      for (let axle = 0; axle < shifts.length; axle++) {
        const place = head - shifts[axle]!;
        if (place >= first + values.length) continue;
        if (place < first - 1) break;
        const load = loads[axle]!;
        const jump = jumpAt(line, place);
        if (jump) {
          high += load * Math.max(jump.before, jump.beyond);
          low += load * Math.min(jump.before, jump.beyond);
          kink += load * jump.kink;
        } else {
          const value = load * ordinateAt(line, place);
          high += value;
          low += value;
        }
      }
      return { head, high, low, kink };
    }),
  );
  found.sort((a, b) => a.head - b.head);
  return {
    heads: Float64Array.from(found, ({ head }) => head / stride),
    highs: Float64Array.from(found, ({ high }) => high),
    lows: Float64Array.from(found, ({ low }) => low),
    kinks: Float64Array.from(found, ({ kink }) => kink),
  };
}

/** Index of the first of ascending heads that is not before a place. */
export function firstFrom(heads: Float64Array, place: number): number {
  let from = 0;
  let to = heads.length;
  while (from < to) {
    const middle = (from + to) >> 1;
    if (heads[middle]! < place) from = middle + 1;
    else to = middle;
  }
  return from;
}
