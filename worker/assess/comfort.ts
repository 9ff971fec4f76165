import type { AssessmentModel } from '../../scenarios/assessment-model.js';
import type { CheckId } from '../../scenarios/result.js';
import { allPass, type Finding } from '../checks/check.js';
import { type JudgedSpeed, permittedSpeed } from './permitted-speed.js';
import type { SpeedSample } from './speed-sample.js';

const mayBeComfort: readonly CheckId[] = ['body-acceleration', 'ride-comfort'];

/** A check that only passengers feel. No limit set can turn a check of safety into one of comfort. */
export function isComfort(model: AssessmentModel, id: CheckId): boolean {
  return mayBeComfort.includes(id) && model.limits.get(id)?.kind === 'comfort';
}

/** The sample as safety sees it. */
export function withoutComfort(model: AssessmentModel, sample: SpeedSample): SpeedSample {
  const findings = new Map<CheckId, Finding>();
  for (const [id, finding] of sample.findings) if (!isComfort(model, id)) findings.set(id, finding);
  return { ...sample, findings };
}

/**
 * Highest speed up to which every comfort check passes, rounded down to the operating step; null where none was made or none
 * passes. The overspeed factor is a matter of safety and plays no part, but nobody travels faster than safety permits.
 *
 * @param permittedKmh null where no train may run, and none is comfortable
 */
export function comfortSpeed(
  model: AssessmentModel,
  { samples, givenUpFromKmh }: { readonly samples: readonly SpeedSample[]; readonly givenUpFromKmh: number },
  permittedKmh: number | null,
): number | null {
  let any = false;
  const judged: JudgedSpeed[] = [];
  for (const { speedKmh, findings } of samples) {
    const own: Finding[] = [];
    for (const [id, finding] of findings) if (isComfort(model, id)) own.push(finding);
    any ||= own.length > 0;
    judged.push({ speedKmh, safe: allPass(own) });
  }
  if (!any) return null;
  const { permittedKmh: comfortable } = permittedSpeed(
    judged,
    model.lineSpeedKmh,
    1,
    model.roundDownToKmh,
    givenUpFromKmh,
  );
  return lowerOf(comfortable, permittedKmh);
}

/** The lower of two speeds; null where either is. */
export function lowerOf(one: number | null, other: number | null): number | null {
  return one === null || other === null ? null : Math.min(one, other);
}
