import type { CheckId } from '../../scenarios/result.js';
import { scenarioSchema } from '../../scenarios/scenario.js';
import { limitsOf } from '../../scenarios/translation/limits.js';

/**
 * The speed in km/h at which the limits of a check end: above it nothing is permitted, whatever the value. Checks that are limited at
 * every speed are left out; when the document is not a valid scenario, none is known.
 */
export function limitEnds(document: unknown): ReadonlyMap<CheckId, number> {
  const ends = new Map<CheckId, number>();
  const parsed = scenarioSchema.safeParse(document);
  if (!parsed.success) return ends;
  for (const [check, { steps }] of limitsOf(parsed.data)) {
    const end = steps.at(-1)?.upToKmh ?? Number.POSITIVE_INFINITY;
    if (Number.isFinite(end)) ends.set(check, end);
  }
  return ends;
}
