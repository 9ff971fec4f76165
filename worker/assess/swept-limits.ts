import type { AssessmentModel } from '../../scenarios/assessment-model.js';
import type { CheckId, TrainResult } from '../../scenarios/result.js';
import type { SpeedSample } from './speed-sample.js';

/** Swept quantities that have a limit of their own, and the factor from the check's unit to the series'. */
const limited: readonly { readonly check: CheckId; readonly key: string }[] = [
  { check: 'deck-acceleration', key: 'deck_acceleration_m_per_s2' },
  { check: 'deck-deflection', key: 'deck_deflection_mm' },
  { check: 'deck-twist', key: 'deck_twist_mm' },
  { check: 'end-rotation', key: 'end_rotation_rad' },
  { check: 'joint-step', key: 'joint_step_mm' },
  { check: 'fastening-uplift', key: 'fastening_uplift_kN' },
  { check: 'wheel-unloading', key: 'wheel_unloading' },
  { check: 'body-acceleration', key: 'body_acceleration_m_per_s2' },
  { check: 'ride-comfort', key: 'ride_comfort_m_per_s2' },
];

/** Limits as steps over the swept speeds, taken from what the findings were judged by; for L/n the span that governed. */
export function sweptLimits(
  model: AssessmentModel,
  samples: readonly SpeedSample[],
): TrainResult['sweep_limits'] {
  const limits: TrainResult['sweep_limits'] = {};
  const last = model.speedsKmh[model.speedsKmh.length - 1]!;
  for (const { check, key } of limited) {
    const limit = model.limits.get(check);
    if (!limit || !isSwept(samples, key)) continue;
    const steps = limit.steps.filter((_, index) => index === 0 || limit.steps[index - 1]!.upToKmh < last);
    limits[key] = steps.flatMap((step, index) => {
      const upTo = Math.min(step.upToKmh, last);
      const value = limit.perSpan
        ? lowestLimit(samples, check, steps[index - 1]?.upToKmh ?? -1, upTo)
        : step.value;
      return Number.isFinite(value) ? [{ up_to_kmh: upTo, limit: value }] : [];
    });
  }
  return limits;
}

function isSwept(samples: readonly SpeedSample[], key: string): boolean {
  for (const { quantities } of samples) if (key in quantities) return true;
  return false;
}

/** Of the speeds above the one and up to the other; infinite where the check found nothing there. */
function lowestLimit(
  samples: readonly SpeedSample[],
  check: CheckId,
  aboveKmh: number,
  upToKmh: number,
): number {
  let lowest = Number.POSITIVE_INFINITY;
  for (const { speedKmh, findings } of samples) {
    if (speedKmh <= aboveKmh || speedKmh > upToKmh) continue;
    lowest = Math.min(lowest, findings.get(check)?.limit ?? Number.POSITIVE_INFINITY);
  }
  return lowest;
}
