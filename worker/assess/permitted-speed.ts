/** One run speed with the verdict of its checks. */
export interface JudgedSpeed {
  readonly speedKmh: number;
  readonly safe: boolean;
}

export interface PermittedSpeed {
  /** Null: no speed is safe. */
  readonly permittedKmh: number | null;
  /** Run speed of the first failing sample above the permitted range; null when none fails. */
  readonly firstFailureKmh: number | null;
  /** True when the end of the sweep, not a check, stops it short of line speed. */
  readonly limitedBySweep: boolean;
  /** Stretches of run speed that fail, between the last safe and the next safe sample. */
  readonly blockedBands: readonly (readonly [number, number])[];
}

/**
 * The highest V, not above line speed, such that every run speed up to overspeedFactor x V is safe, rounded down to the
 * operating step; line speed itself is not rounded. Safe speeds above an unsafe band are never recommended.
 *
 * @param judged ascending in speed, starting with the quasi-static passage at 0
 * @param givenUpFromKmh run speeds from here on were not all looked at and decide nothing; bands that fail there are shown all the same
 */
export function permittedSpeed(
  judged: readonly JudgedSpeed[],
  lineSpeedKmh: number,
  overspeedFactor: number,
  roundDownToKmh: number,
  givenUpFromKmh = Number.POSITIVE_INFINITY,
): PermittedSpeed {
  const blockedBands = bands(judged);
  const searched = judged.filter(({ speedKmh }) => speedKmh < givenUpFromKmh);
  const firstUnsafe = searched.findIndex(({ safe }) => !safe);
  const safeUpTo =
    firstUnsafe === -1
      ? searched[searched.length - 1]!.speedKmh
      : firstUnsafe === 0
        ? 0
        : searched[firstUnsafe - 1]!.speedKmh;
  const firstFailureKmh = firstUnsafe === -1 ? null : searched[firstUnsafe]!.speedKmh;
  // A sweep that ends exactly at overspeed x line speed must not lose a step to round-off.
  const reached = (safeUpTo / overspeedFactor) * (1 + 1e-12);
  const permitted =
    reached >= lineSpeedKmh ? lineSpeedKmh : Math.floor(reached / roundDownToKmh + 1e-12) * roundDownToKmh;
  return {
    permittedKmh: permitted > 0 ? permitted : null,
    firstFailureKmh,
    limitedBySweep: firstUnsafe === -1 && permitted < lineSpeedKmh,
    blockedBands,
  };
}

function bands(judged: readonly JudgedSpeed[]): [number, number][] {
  const found: [number, number][] = [];
  let from: number | null = null;
  judged.forEach(({ speedKmh, safe }, i) => {
    if (!safe && from === null) from = i === 0 ? 0 : judged[i - 1]!.speedKmh;
    if (from !== null && (safe || i === judged.length - 1)) {
      found.push([from, speedKmh]);
      from = null;
    }
  });
  return found;
}

/** Bands in whole km/h, rounded outwards; those that then touch or overlap are one. */
export function wholeBands(bands: PermittedSpeed['blockedBands']): [number, number][] {
  const whole: [number, number][] = [];
  for (const [from, to] of bands) {
    const last = whole.at(-1);
    if (last && Math.floor(from) <= last[1]) last[1] = Math.ceil(to);
    else whole.push([Math.floor(from), Math.ceil(to)]);
  }
  return whole;
}
