/**
 * Mirror images and equal parts reach the same value but for rounding. Of such a tie the one seen first stands, so that the place that a
 * result names does not depend on the last digits, which differ from one processor or version to the next.
 */
const tie = 1e-9;

/** Whether a value is larger than a known one by more than rounding. */
export function isAbove(value: number, known: number): boolean {
  return value > known + tie * Math.abs(known);
}

/** Whether a value is smaller than a known one by more than rounding. */
export function isBelow(value: number, known: number): boolean {
  return value < known - tie * Math.abs(known);
}
