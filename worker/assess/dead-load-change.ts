import type { DeckMovement } from '../../solver/held-track/held-track.js';
import { supportPositions } from '../../solver/statics/dead-load.js';
import type { DeadLoadState } from '../../solver/statics/dead-load-state.js';
import type { Viaduct } from '../../solver/viaduct/model.js';

/**
 * How the dead-load alignment of a damaged deck differs from the as-built one, under the track or the worst of several. Lengths in metres,
 * downwards positive.
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
  /** The deflection at the same places under each track. */
  readonly underTracks: readonly Float64Array[];
}

/** m */
const spacing = 0.5;

export function deadLoadChange(
  viaduct: Viaduct,
  damaged: DeadLoadState,
  intact: DeadLoadState,
): DeadLoadChange {
  const supports = supportPositions(viaduct);
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
  const states = { damaged, intact };
  const axis = changeAlong(states, x, sides, 0);
  const eccentricities = viaduct.tracks?.map(({ eccentricity }) => eccentricity) ?? [0];
  const underTracks: Float64Array[] = [];
  const steps = new Float64Array(supports.length);
  for (const y of eccentricities) {
    underTracks.push(y === 0 ? axis : changeAlong(states, x, sides, y));
    for (let support = 0; support < steps.length; support++) {
      const step = stepAt(states, supports, support, y);
      if (Math.abs(step) > Math.abs(steps[support]!)) steps[support] = step;
    }
  }
  let sag = 0;
  let sagAt = 0;
  for (const deflection of [axis, ...underTracks])
    for (let i = 0; i < deflection.length; i++) {
      const size = Math.abs(deflection[i]!);
      if (size <= sag) continue;
      sag = size;
      sagAt = x[i]!;
    }
  return {
    x: Float64Array.from(x),
    deflection: axis,
    twistAt: (at, side) => damaged.twistAt(at, side) - intact.twistAt(at, side),
    ...{ sag, sagAt, steps, underTracks },
  };
}

interface BeforeAndAfter {
  readonly damaged: DeadLoadState;
  readonly intact: DeadLoadState;
}

/** Change of the deflection at a distance y to the right of the axis. */
function changeAlong(
  { damaged, intact }: BeforeAndAfter,
  x: readonly number[],
  sides: readonly ('left' | 'right')[],
  y: number,
): Float64Array {
  const change = new Float64Array(x.length);
  for (let i = 0; i < change.length; i++)
    change[i] = damaged.deflectionAt(x[i]!, sides[i]!, y) - intact.deflectionAt(x[i]!, sides[i]!, y);
  return change;
}

/** Change of the right deck end less that of the left; 0 where they differ by rounding only. */
function stepAt(
  { damaged, intact }: BeforeAndAfter,
  supports: readonly number[],
  support: number,
  y: number,
): number {
  const at = supports[support]!;
  const change = (side: 'left' | 'right') =>
    damaged.deflectionAt(at, side, y) - intact.deflectionAt(at, side, y);
  const left = support === 0 ? 0 : change('left');
  const right = support === supports.length - 1 ? 0 : change('right');
  return Math.abs(right - left) < 1e-12 ? 0 : right - left;
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

/** The change under one of the tracks. */
export function movementUnderTrack(change: DeadLoadChange, { tracks }: Viaduct, track: number): DeckMovement {
  const eccentricity = tracks?.[track]?.eccentricity ?? 0;
  return (x, side) =>
    changeAt(change, x, side) + (eccentricity === 0 ? 0 : eccentricity * change.twistAt(x, side));
}
