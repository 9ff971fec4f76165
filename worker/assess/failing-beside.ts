import type { LimitSet } from '../../scenarios/assessment-model.js';
import type { CheckId } from '../../scenarios/result.js';
import { allPass } from '../checks/check.js';
import { checks } from '../checks/list.js';
import { carriesLoad } from '../checks/strength-checks.js';
import { failureOf } from './failure-words.js';
import type { SpeedSample } from './speed-sample.js';
import { checkName, listed } from './wording.js';

/** So many checks that judge no strength are named; more are counted. */
const mostNamed = 2;

/**
 * "shear of the deck 9000 against 8000 kN (span 1) and deck deflection fail as well": what fails at a speed beside the check that
 * governs, since whoever mends the one thing a reason names must not take the line for safe. Strength and bearings first, with
 * their numbers; of all others the names, or how many there are. Null where the governing check fails alone.
 */
export function failingBeside(
  { findings, speedKmh }: SpeedSample,
  governing: CheckId,
  limits: LimitSet,
): string | null {
  const grave: string[] = [];
  const others: string[] = [];
  for (const { id, unit } of checks) {
    const finding = findings.get(id);
    if (id === governing || !finding || allPass([finding])) continue;
    if (!carriesLoad(id)) {
      others.push(checkName(id));
      continue;
    }
    const { limitsEndKmh, words } = failureOf(finding, unit, limits.get(id), speedKmh);
    const how = limitsEndKmh === null ? words : `(its limits end at ${limitsEndKmh} km/h)`;
    grave.push(`${checkName(id)} ${how}`);
  }
  const failing = grave.length + others.length;
  if (failing === 0) return null;
  const named = [...grave, ...(others.length > mostNamed ? [`${others.length} more checks`] : others)];
  return `${listed(named)} ${failing > 1 ? 'fail' : 'fails'} as well`;
}
