import type { Quantity } from './verification-case.js';

/** A quantity cannot be judged: it could never fail. */
export class UnjudgeableQuantityError extends Error {
  constructor(quantity: Quantity, reason: string) {
    super(`"${quantity.name}": ${reason}`);
    this.name = 'UnjudgeableQuantityError';
  }
}

/** @throws UnjudgeableQuantityError for a tolerance that is not a positive finite number, or a relative one of a reference of 0 */
export function isWithinTolerance(quantity: Quantity): boolean {
  const { reference, computed, tolerance } = quantity;
  switch (tolerance.kind) {
    case 'at-most':
      return computed <= reference;
    case 'at-least':
      return computed >= reference;
    case 'absolute':
      demandPositive(quantity, tolerance.amount);
      return Math.abs(computed - reference) <= tolerance.amount;
    case 'relative':
      demandPositive(quantity, tolerance.share);
      if (reference === 0)
        throw new UnjudgeableQuantityError(quantity, 'a reference of 0 needs an absolute tolerance');
      return Math.abs(computed - reference) <= tolerance.share * Math.abs(reference);
  }
}

/** (computed - reference) / |reference|; null for a reference of 0. */
export function relativeDifference({ reference, computed }: Quantity): number | null {
  return reference === 0 ? null : (computed - reference) / Math.abs(reference);
}

function demandPositive(quantity: Quantity, tolerance: number): void {
  if (!(tolerance > 0 && Number.isFinite(tolerance)))
    throw new UnjudgeableQuantityError(quantity, `a tolerance of ${tolerance} cannot be judged`);
}
