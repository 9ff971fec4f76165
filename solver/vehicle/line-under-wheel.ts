import { linearBetween, linearWithin } from '../lines/linear-interpolation.js';
import type { RunningLine } from './running-line.js';
import { smoothlyBetween } from './smooth-interpolation.js';

/**
 * Deflection in each mode under a wheel on the line, linear between samples.
 *
 * @param position sample number, fractions allowed
 * @param target where they go, from `offset` on
 */
export function writeShapes(line: RunningLine, position: number, target: Float64Array, offset: number): void {
  const { modes, modeCount, count } = line;
  const index = Math.min(Math.floor(position), count - 2);
  const fraction = position - index;
  const here = index * modeCount;
  const next = here + modeCount;
  for (let j = 0; j < modeCount; j++) {
    const value = modes[here + j]!;
    target[offset + j] = value + (modes[next + j]! - value) * fraction;
  }
}

/** m/N, the residual compliance under a wheel on the line. */
export function residualAt({ residual }: RunningLine, position: number): number {
  return linearBetween(residual, position);
}

/** m/N, what a wheel does to another near it, by the index of their distance and the place of the leading one. */
export function residualBetween({ between }: RunningLine, apart: number, position: number): number {
  const { residual, ground } = between[apart]!;
  return linearWithin(residual, position, ground);
}

/** m, the unloaded rail at any place; beyond either end the last value goes on. */
export function profileAt({ profile, profileFirst }: RunningLine, position: number): number {
  const at = position - profileFirst;
  if (at <= 0) return profile[0]!;
  if (at >= profile.length - 1) return profile[profile.length - 1]!;
  return smoothlyBetween(profile, at);
}
