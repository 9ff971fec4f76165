/**
 * How far a quantity may move and still count as drift. Both parts are allowed together: a value may move by relative x |before| +
 * absolute. Justified in scenarios/README.md, "Regression scenarios".
 */
export interface Tolerance {
  readonly relative: number;
  readonly absolute: number;
}

/** Decisions and names: nothing may move. */
export const exact: Tolerance = { relative: 0, absolute: 0 };

/** One tolerance per family of quantities, whatever the place it stands in. */
export const tolerances = {
  frequency_Hz: { relative: 1e-4, absolute: 0 },
  static_kN: { relative: 1e-6, absolute: 0.01 },
  static_kNm: { relative: 1e-6, absolute: 0.1 },
  static_mm: { relative: 1e-6, absolute: 1e-3 },
  response_m_per_s2: { relative: 2e-3, absolute: 1e-3 },
  response_mm: { relative: 2e-3, absolute: 1e-3 },
  response_rad: { relative: 2e-3, absolute: 1e-7 },
  response_kN: { relative: 2e-3, absolute: 0.1 },
  response_N_per_mm2: { relative: 2e-3, absolute: 0.01 },
  response_kNm: { relative: 2e-3, absolute: 1 },
  utilisation: { relative: 2e-3, absolute: 1e-4 },
  /** Where a peak or a failure lies: refined to 1 km/h. */
  located_kmh: { relative: 0, absolute: 1 },
  located_m: { relative: 0, absolute: 0.05 },
  /** Numbers inside a sentence are rounded to three digits. */
  worded: { relative: 0.01, absolute: 1 },
  chainage_km: { relative: 0, absolute: 1e-6 },
  stretch_m: { relative: 0, absolute: 1e-3 },
  /** What a recommendation says, and what is decided for a train or a deck behind it. */
  recommended: exact,
  permitted: exact,
  decided: exact,
  /** Which scenario this is, and cautions, which all shift where one comes in. */
  described: exact,
} as const satisfies Record<string, Tolerance>;
export type ToleranceName = keyof typeof tolerances;

/** The family of a swept quantity or of a check's value, told by the unit its name or unit ends in. */
export function responseFamily(unitOrKey: string): ToleranceName {
  if (/(m_per_s2|m\/s2)$/.test(unitOrKey)) return 'response_m_per_s2';
  if (/N_per_mm2$/.test(unitOrKey)) return 'response_N_per_mm2';
  if (/kNm$/.test(unitOrKey)) return 'response_kNm';
  if (/kN$/.test(unitOrKey)) return 'response_kN';
  if (/rad$/.test(unitOrKey)) return 'response_rad';
  if (/mm$/.test(unitOrKey)) return 'response_mm';
  // Counts and ratios without a unit have no scale that a tolerance could be argued from.
  return 'decided';
}

/** Whether a move stays within a tolerance. */
export function withinTolerance(before: number, now: number, { relative, absolute }: Tolerance): boolean {
  return Math.abs(now - before) <= relative * Math.abs(before) + absolute;
}
