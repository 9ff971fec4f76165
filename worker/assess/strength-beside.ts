import type { TrainResult } from '../../scenarios/result.js';
import { carriesLoad } from '../checks/strength-checks.js';
import { checkName, firstOf } from './wording.js';

/**
 * After the reason of the train that decides for its class, a sentence on the strength that holds other trains of the class to the same: of
 * trains equally slow only one is named, and what it fails may be a lesser thing. Nothing where the reason speaks of it.
 */
export function strengthBeside(worst: TrainResult, trains: readonly TrainResult[]): string {
  if (worst.status !== 'closed' && worst.status !== 'restricted') return '';
  const held = new Map<string, string[]>();
  for (const train of trains) {
    if (train === worst || train.status !== worst.status) continue;
    if (train.permitted_speed_kmh !== worst.permitted_speed_kmh) continue;
    for (const check of train.checks) {
      const name = checkName(check.id);
      if (check.id === worst.governing || worst.reason.includes(name)) continue;
      if (!carriesLoad(check.id) || !permitsNoMore(train, check)) continue;
      held.set(name, [...(held.get(name) ?? []), train.train]);
    }
  }
  if (held.size === 0) return '';
  const named = [...held].map(([name, ids]) => `${name} (${firstOf(ids)})`);
  return ` Nor does strength permit more for other trains of the class: ${named.join(', ')}.`;
}

/** Whether a check alone would hold its train to the speed that was decided for it. Where evidence is missing only the governing check tells. */
function permitsNoMore(
  { permitted_speed_kmh: decided, governing }: TrainResult,
  { id, utilisation, evidence, permitted_speed_kmh: own }: TrainResult['checks'][number],
): boolean {
  if (utilisation === null || utilisation <= 1) return false;
  return id === governing || (evidence === 'given' && (own ?? 0) <= (decided ?? 0));
}
