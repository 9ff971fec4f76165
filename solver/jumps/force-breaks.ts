import type { LoadedLine } from '../lines/loaded-line.js';
import { deflectionWithin } from '../mesh/deflection-within.js';
import type { BeamElement, Mesh } from '../mesh/mesh.js';
import type { Modes } from '../modes/eigen.js';

/**
 * Where the deflection of the modes under a wheel breaks along the line: ends of decks that wheels run on without a track, and supports
 * that hold a deck's rotation about x where wheels run beside its axis. Between samples of the line no interpolation could follow a jump or a kink, so they are kept apart.
 */
export interface ForceBreaks {
  /** From the start of the line in the direction of travel, m, in any order. */
  readonly positions: Float64Array;
  /** modes x breaks: value just before the break, jump of the value and jump of the slope across it. */
  readonly before: Float64Array;
  readonly jumps: Float64Array;
  readonly slopes: Float64Array;
  /** 1 where the way is towards +x, -1 towards -x. */
  readonly sense: 1 | -1;
  /** Length over which a break's own shape dies away. */
  readonly reach: number;
}

/** m; and no more than a sixteenth of the shortest span. */
const longestReach = 2;

/** Breaks in the direction of +x; null with a track, whose rail runs on across them. */
export function findForceBreaks(
  mesh: Mesh,
  modes: Modes,
  line: LoadedLine,
  shortestSpan: number,
): ForceBreaks | null {
  if (mesh.rail.length > 0) return null;
  const ends = mesh.supports
    .map(({ gridIndex }) => ({
      x: mesh.grid.x[gridIndex]!,
      left: mesh.deck.find(({ end }) => end === mesh.deckLeft[gridIndex]) ?? null,
      right: mesh.deck.find(({ start }) => start === mesh.deckRight[gridIndex]) ?? null,
    }))
    .filter(
      ({ left, right }) =>
        left === null || right === null || left.end !== right.start || line.eccentricity !== 0,
    );
  const count = modes.shapes.length;
  const before = new Float64Array(count * ends.length);
  const jumps = new Float64Array(count * ends.length);
  const slopes = new Float64Array(count * ends.length);
  ends.forEach(({ left, right }, index) => {
    modes.shapes.forEach((shape, mode) => {
      const [valueBefore, slopeBefore] = left ? atEnd(left, 1, shape, line.eccentricity) : [0, 0];
      const [valueAfter, slopeAfter] = right ? atEnd(right, 0, shape, line.eccentricity) : [0, 0];
      const place = mode * ends.length + index;
      before[place] = valueBefore;
      jumps[place] = left && right && left.end === right.start ? 0 : valueAfter - valueBefore;
      slopes[place] = slopeAfter - slopeBefore;
    });
  });
  return {
    positions: Float64Array.from(ends, ({ x }) => x - line.from),
    before,
    jumps,
    slopes,
    sense: 1,
    reach: Math.min(longestReach, shortestSpan / 16),
  };
}

/** Deflection under the wheels and its slope in a shape at the start (0) or the end (1) of an element, seen from inside it. */
function atEnd(
  element: BeamElement,
  end: 0 | 1,
  shape: Float64Array,
  eccentricity: number,
): [value: number, slope: number] {
  const weights = new Float64Array(4);
  const value = (inside: number) =>
    deflectionWithin(element, end === 0 ? inside : element.length - inside, shape, weights);
  // One-sided difference, exact for quadratics; a deck deformed by shear has a slope that is not its rotation.
  const h = 1e-3 * element.length;
  const slope = (4 * value(h) - 3 * value(0) - value(2 * h)) / (2 * h);
  const twist = (freedom: number) => (freedom < 0 || eccentricity === 0 ? 0 : shape[freedom]!);
  const turned = eccentricity * twist(end === 0 ? element.start.twist : element.end.twist);
  const turning = (eccentricity * (twist(element.end.twist) - twist(element.start.twist))) / element.length;
  return [value(0) + turned, (end === 0 ? slope : -slope) + turning];
}

/** Whether forces jump, so that all that follows them does. */
export function hasJumps(breaks: ForceBreaks | null): boolean {
  return breaks?.jumps.some((jump) => jump !== 0) === true;
}

/** The same breaks as met by a train that runs the other way over a line of this length. */
export function reversedBreaks(breaks: ForceBreaks, lineLength: number): ForceBreaks {
  return {
    ...breaks,
    positions: breaks.positions.map((position) => lineLength - position),
    before: breaks.before.map((value, place) => value + breaks.jumps[place]!),
    jumps: breaks.jumps.map((jump) => -jump),
    sense: breaks.sense === 1 ? -1 : 1,
  };
}

/**
 * What is left of a mode's line without its breaks, smooth from end to end and on beyond the end as far as a break there reaches;
 * `samples` in the direction of travel.
 */
export function withoutBreaks(
  samples: Float64Array,
  step: number,
  breaks: ForceBreaks,
  mode: number,
): Float64Array {
  const { positions, before, jumps, slopes, reach } = breaks;
  const smooth = new Float64Array(samples.length + Math.ceil(reach / step));
  smooth.set(samples);
  positions.forEach((position, index) => {
    const place = mode * positions.length + index;
    const first = Math.round(position / step);
    // The sample on the break may hold either side's value.
    if (Math.abs(first * step - position) < 1e-6) smooth[first]! += before[place]! - samples[first]!;
    for (let k = Math.ceil(position / step - 1e-6 / step); k < smooth.length; k++) {
      const beyond = k * step - position;
      if (beyond >= reach) break;
      if (beyond < 1e-6) continue;
      smooth[k]! -= jumps[place]! * jumpShape(beyond, reach) + slopes[place]! * kinkShape(beyond, reach);
    }
  });
  return smooth;
}

/** 1 just beyond the break, dying away smoothly; 0 before it. */
export function jumpShape(beyond: number, reach: number): number {
  if (beyond < 0 || beyond >= reach) return 0;
  const t = beyond / reach;
  return 1 - t * t * t * (10 + t * (6 * t - 15));
}

/** Slope 1 just beyond the break, dying away smoothly; 0 before it. */
export function kinkShape(beyond: number, reach: number): number {
  return beyond * jumpShape(beyond, reach);
}
