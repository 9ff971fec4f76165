import type { Limit } from '../../scenarios/assessment-model.js';
import { type Finding, failing, limitAt } from '../checks/check.js';
import { describeFinding } from './wording.js';

/** Why a check fails at a speed, for a reason. */
export interface Failure {
  /** Where nothing but the end of its limits fails the check: the speed at which they end, km/h. */
  readonly limitsEndKmh: number | null;
  /** Value against limit, or the place alone where the value would pass and what happens there fails it. */
  readonly words: string;
}

/** Tells apart what fails by its value, for want of a limit at the speed, and whatever its value is. */
export function failureOf(
  finding: Finding,
  unit: string,
  limit: Limit | undefined,
  speedKmh: number,
): Failure {
  const whateverItIs = finding.utilisation >= failing && finding.value <= finding.limit;
  const ended = whateverItIs && limit !== undefined && limitAt(limit, speedKmh) === null;
  return {
    limitsEndKmh: ended ? limit.steps[limit.steps.length - 1]!.upToKmh : null,
    words: whateverItIs && finding.where ? `(${finding.where})` : describeFinding(finding, unit),
  };
}
