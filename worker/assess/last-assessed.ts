import type { AssessmentModel } from '../../scenarios/assessment-model.js';

/** km/h: the speed beyond which nothing is known of a train, at the end of the sweep or before. */
export function lastAssessedKmh(
  { speedsKmh }: AssessmentModel,
  entry: AssessmentModel['trains'][number],
): number {
  const end = speedsKmh[speedsKmh.length - 1]!;
  // Overspeed times line speed may miss a round number by round-off.
  return entry.kind === 'static' && end > entry.upToKmh * (1 + 1e-12) ? entry.upToKmh : end;
}
