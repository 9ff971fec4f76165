interface AtSpeed {
  readonly speedKmh: number;
}

/** Order of ascending speed. */
export const bySpeed = (a: AtSpeed, b: AtSpeed): number => a.speedKmh - b.speedKmh;

/** Whether any of the speeds is less than so many km/h away from another. */
export function isNear(speedsKmh: Iterable<number>, speedKmh: number, kmh: number): boolean {
  for (const one of speedsKmh) if (Math.abs(one - speedKmh) < kmh) return true;
  return false;
}
