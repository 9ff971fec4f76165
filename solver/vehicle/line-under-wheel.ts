import { linearBetween, linearWithin } from '../lines/linear-interpolation.js';
import type { RunningLine } from './running-line.js';
import { smoothlyBetween } from './smooth-interpolation.js';

/**
 * Deflection in each mode under a wheel on the line.
 *
 * @param position sample number, fractions allowed
 * @param target where they go, of `modeStride` numbers
 */
export function writeShapes(line: RunningLine, position: number, target: Float64Array): void {
  line.modes.shapes.write(line.alongDeck(position), target);
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
