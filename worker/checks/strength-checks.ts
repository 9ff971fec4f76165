import type { Check, CheckId } from '../../scenarios/result.js';

/** The checks that compare what the structure has to carry with a resistance that somebody must have given. */
const strengthChecks: readonly CheckId[] = [
  'bending',
  'shear',
  'support-reaction',
  'slab-bending',
  'rail-bending',
];

/** Whether any load was compared with any strength. */
export const isStrengthCompared = (checks: readonly Pick<Check, 'id' | 'value'>[]): boolean =>
  checks.some(({ id, value }) => strengthChecks.includes(id) && value !== null);

/** Whether a check judges what keeps the structure up, which no work on the track mends: its strength, and bearings that hold it down. */
export const carriesLoad = (id: CheckId): boolean => id === 'bearing-uplift' || strengthChecks.includes(id);
