import type { AssessmentModel } from '../../scenarios/assessment-model.js';
import type { CheckId } from '../../scenarios/result.js';
import { allPass } from '../checks/check.js';
import { permittedSpeed } from './permitted-speed.js';
import type { SpeedSample } from './speed-sample.js';

const mayBeComfort: readonly CheckId[] = ['body-acceleration', 'ride-comfort'];

/** A check that only passengers feel. No limit set can turn a check of safety into one of comfort. */
export function isComfort(model: AssessmentModel, id: CheckId): boolean {
  return mayBeComfort.includes(id) && model.limits.get(id)?.kind === 'comfort';
}

/** The sample as safety sees it. */
export function withoutComfort(model: AssessmentModel, sample: SpeedSample): SpeedSample {
  const findings = new Map([...sample.findings].filter(([id]) => !isComfort(model, id)));
  return { ...sample, findings };
}

/**
 * Highest speed up to which every comfort check passes, rounded down to the operating step; null where none was made or none
 * passes. The overspeed factor is a matter of safety and plays no part.
 */
export function comfortSpeed(model: AssessmentModel, samples: readonly SpeedSample[]): number | null {
  let any = false;
  const judged = samples.map(({ speedKmh, findings }) => {
    const own = [...findings].filter(([id]) => isComfort(model, id)).map(([, finding]) => finding);
    any ||= own.length > 0;
    return { speedKmh, safe: allPass(own) };
  });
  return any ? permittedSpeed(judged, model.lineSpeedKmh, 1, model.roundDownToKmh).permittedKmh : null;
}
