import { type DeadLoadState, supportPositions } from '../../solver/dead-load.js';
import type { Viaduct } from '../../solver/model.js';

/**
 * How the dead-load alignment of a damaged deck differs from the as-built one, under the track or the worst of several. Lengths in metres,
 * downwards positive. How far the rail sinks where fastenings
 * and bedding are lost counts in the level defect alone.
 */
export interface DeadLoadChange {
  /** Positions of the profile on the axis, a support twice: its left and its right side. */
  readonly x: Float64Array;
  readonly deflection: Float64Array;
  /** Change of the rotation about x, right side down; 0 where torsion is left out. */
  twistAt(x: number, side: 'left' | 'right'): number;
  /** Largest absolute change, the axis included. */
  readonly sag: number;
  readonly sagAt: number;
  /** Change of the step at each support, largest of all tracks: right deck end less left, the ground beyond the abutments counting as unmoved. */
  readonly steps: Float64Array;
  /** Largest departure from a chord of the track over the wavelengths of longitudinal level, and where. */
  readonly levelDefect: number;
  readonly levelDefectAt: number;
}

/** m: the ends of the range D1 of EN 13848-5 (mem). A chord of the longest wave sees every shorter one. */
const chords = [3, 5, 10, 15, 20, 25];
const spacing = 0.5;

/** @param trackSag by how much more than before the rail lies below its place on the deck, m at any x */
export function deadLoadChange(
  viaduct: Viaduct,
  damaged: DeadLoadState,
  intact: DeadLoadState,
  trackSag: (x: number) => number = () => 0,
): DeadLoadChange {
  const supports = supportPositions(viaduct);
  const length = supports[supports.length - 1]!;
  const x: number[] = [];
  const sides: ('left' | 'right')[] = [];
  for (let span = 0; span + 1 < supports.length; span++) {
    const from = supports[span]!;
    const to = supports[span + 1]!;
    const count = Math.max(20, Math.ceil((to - from) / spacing));
    for (let i = 0; i <= count; i++) {
      const at = i === count ? to : from + ((to - from) * i) / count;
      x.push(at);
      sides.push(i === count ? 'left' : 'right');
    }
  }
  const under = (y: number) => {
    const change = (at: number, side: 'left' | 'right') =>
      damaged.deflectionAt(at, side, y) - intact.deflectionAt(at, side, y);
    const deflection = x.map((at, i) => change(at, sides[i]!));
    const steps = supports.map((at, support) => {
      const left = support === 0 ? 0 : change(at, 'left');
      const right = support === supports.length - 1 ? 0 : change(at, 'right');
      return Math.abs(right - left) < 1e-12 ? 0 : right - left;
    });
    const profile = extended(x, deflection, length);
    profile.x.forEach((at, i) => {
      profile.deflection[i]! += trackSag(at);
    });
    return { deflection, steps, worst: worstChordDeparture(profile.x, profile.deflection) };
  };
  const axis = under(0);
  const tracks = (viaduct.tracks ?? [{ eccentricity: 0 }]).map(({ eccentricity }) =>
    eccentricity === 0 ? axis : under(eccentricity),
  );
  let sag = 0;
  let sagAt = 0;
  for (const { deflection } of [axis, ...tracks])
    deflection.forEach((value, i) => {
      if (Math.abs(value) > Math.abs(sag)) {
        sag = value;
        sagAt = x[i]!;
      }
    });
  const { worst } = tracks.reduce((a, b) => (b.worst.departure > a.worst.departure ? b : a));
  return {
    x: Float64Array.from(x),
    deflection: Float64Array.from(axis.deflection),
    twistAt: (at, side) => damaged.twistAt(at, side) - intact.twistAt(at, side),
    sag: Math.abs(sag),
    sagAt,
    steps: Float64Array.from(supports, (_, support) =>
      tracks.reduce(
        (most, { steps }) => (Math.abs(steps[support]!) > Math.abs(most) ? steps[support]! : most),
        0,
      ),
    ),
    levelDefect: worst.departure,
    levelDefectAt: Math.min(Math.max(worst.at, 0), length),
  };
}

/**
 * The change at any x on the deck, linear between its points.
 *
 * @param side which span, at a support
 */
export function changeAt({ x, deflection }: DeadLoadChange, at: number, side: 'left' | 'right'): number {
  let low = 0;
  let high = x.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (side === 'right' ? x[middle]! <= at : x[middle]! < at) low = middle;
    else high = middle;
  }
  const length = x[high]! - x[low]!;
  if (length === 0) return deflection[side === 'right' ? high : low]!;
  const share = Math.min(1, Math.max(0, (at - x[low]!) / length));
  return deflection[low]! + (deflection[high]! - deflection[low]!) * share;
}

/** The unmoved track beyond the abutments, for one longest chord. */
function extended(x: readonly number[], deflection: readonly number[], length: number) {
  const outside: number[] = [];
  for (let at = spacing; at <= 25; at += spacing) outside.push(at);
  const before = outside.map((at) => -at).reverse();
  const after = outside.map((at) => length + at);
  return {
    x: [...before, 0, ...x, length, ...after],
    deflection: [...before.map(() => 0), 0, ...deflection, 0, ...after.map(() => 0)],
  };
}

/**
 * Largest distance of the profile from a straight line between two of its points that are one chord apart. A step shows with its
 * full height; a long settlement trough with the part that wheels feel within the chord. Linear between points.
 */
function worstChordDeparture(x: readonly number[], z: readonly number[]): { departure: number; at: number } {
  let departure = 0;
  let at = 0;
  for (const chord of chords) {
    let end = 0;
    for (let start = 0; start < x.length; start++) {
      while (end < x.length && x[end]! - x[start]! < chord - 1e-9) end++;
      if (end === x.length) break;
      const slope = (z[end]! - z[start]!) / (x[end]! - x[start]!);
      for (let i = start + 1; i < end; i++) {
        const away = Math.abs(z[i]! - z[start]! - slope * (x[i]! - x[start]!));
        if (away > departure) {
          departure = away;
          at = x[i]!;
        }
      }
    }
  }
  return { departure, at };
}
