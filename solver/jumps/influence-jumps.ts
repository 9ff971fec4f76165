import { type LineSamples, largestSize, reversedLine } from '../lines/line-samples.js';

/** Where an influence line jumps: the end of a deck that wheels come onto or leave, or the section of a shear; or where it peaks with a kink. */
export interface InfluenceJump {
  /** Sample of the line: a whole number on one, otherwise a place between two. */
  readonly at: number;
  /** Values just before it and just beyond it, along the line. */
  readonly before: number;
  readonly beyond: number;
  /** Per metre: by how much the slope of what the modes have of the line changes there. */
  readonly kink: number;
  /** It does not jump there, but samples beside would miss its largest value. */
  readonly peak?: boolean;
}

/** An influence line, straight between its samples and its jumps; a sample on a jump has the mean of both sides. */
export interface InfluenceLine extends LineSamples {
  readonly jumps: readonly InfluenceJump[];
}

/** Samples; nearer than this a load stands on the jump, and may stand on either side of it. */
const onJump = 1e-6;
/** A jump of less than this share of the line's peak is none. */
const negligible = 1e-6;

/** Puts the mean of both sides into the samples that lie on jumps. */
export function settleJumps(samples: Float64Array, jumps: readonly InfluenceJump[]): void {
  for (const { at, before, beyond } of jumps) if (Number.isInteger(at)) samples[at] = (before + beyond) / 2;
}

/** The line without jumps that are none. */
export function withoutIdleJumps(line: InfluenceLine): InfluenceLine {
  const level = negligible * largestSize(line.values);
  const jumps = line.jumps.filter(({ before, beyond, peak }) => peak || Math.abs(beyond - before) > level);
  return jumps.length === line.jumps.length ? line : { ...line, jumps };
}

/**
 * The influence line on the line of `count` samples seen from its other end.
 *
 * @param room for the values of what comes back; their own unless given
 */
export function reversedInfluence(line: InfluenceLine, count: number, room?: Float64Array): InfluenceLine {
  const jumps = line.jumps.map(({ at, before, beyond, ...rest }) => ({
    ...rest,
    at: count - 1 - at,
    before: beyond,
    beyond: before,
  }));
  return { ...reversedLine(line, count, room), jumps };
}

/** The jump that a load stands on at a place, in samples; null for none. */
export function jumpAt({ jumps }: InfluenceLine, place: number): InfluenceJump | null {
  for (const jump of jumps) if (Math.abs(place - jump.at) < onJump) return jump;
  return null;
}

/** Ordinate at a place, in samples, off the jumps. */
export function ordinateAt({ first, values, jumps }: InfluenceLine, place: number): number {
  let from = Math.floor(place);
  let to = from + 1;
  let start = values[from - first] ?? 0;
  let end = values[to - first] ?? 0;
  for (const { at, before, beyond } of jumps) {
    if (at < place && at >= from) {
      from = at;
      start = beyond;
    } else if (at > place && at <= to) {
      to = at;
      end = before;
    }
  }
  return start + ((end - start) * (place - from)) / (to - from);
}

/**
 * The line for loads whose places are only known at samples: the side of each jump with the larger (`sign` 1) or smaller (-1) value
 * is held for one sample beyond it, so that an axle between two samples never comes out better than it is. It may come
 * out worse, by as much as the line changes within a step.
 */
export function heldInfluence(line: InfluenceLine, sign: 1 | -1): LineSamples {
  if (line.jumps.length === 0) return line;
  const { first } = line;
  const values = line.values.slice();
  for (const { at, before, beyond } of line.jumps) {
    const held = sign * Math.max(sign * before, sign * beyond);
    const isAhead = held === beyond;
    const onSample = Number.isInteger(at);
    const other = isAhead ? Math.ceil(at) - 1 : Math.floor(at) + 1;
    for (const sample of onSample ? [at, other] : [other]) {
      const k = sample - first;
      if (k >= 0 && k < values.length) values[k] = sign * Math.max(sign * values[k]!, sign * held);
    }
  }
  return { first, values };
}
