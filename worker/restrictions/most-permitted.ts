import type { Status } from '../../scenarios/result.js';

/** The highest speed that a restriction may permit, km/h; null where it may only close the line. */
export function mostPermitted(status: Status, recommendedKmh: number | null): number | null {
  return status === 'closed' || status === 'undetermined' ? null : recommendedKmh;
}
