import type { AssessmentModel } from '../../scenarios/assessment-model.js';
import type { CheckId } from '../../scenarios/result.js';
import { isAcceleration } from '../../solver/rows/response-rows.js';
import { limitShares } from '../checks/limit-shares.js';
import type { BoundVariant } from './bound-variant.js';
import type { CaseState } from './case-state.js';

/** By check and mode, the share of the check's limit that vibration of the mode uses up, per m/s² of its coordinate. */
export type ModeLifts = ReadonlyMap<CheckId, Float64Array>;

const known = new WeakMap<BoundVariant, ModeLifts>();

/** The same for all trains. */
export function modeLifts(model: AssessmentModel, state: CaseState, variant: BoundVariant): ModeLifts {
  const before = known.get(variant);
  if (before) return before;
  const { rows, modalValues, modes } = variant.dynamics();
  const { angularFrequencies } = modes;
  const count = angularFrequencies.length;
  const deflected = Float64Array.from(angularFrequencies, (angular) => 1 / angular ** 2);
  const lifts = new Map<CheckId, Float64Array>();
  for (const [check, entries] of limitShares({ model, state, variant, rows })) {
    const most = new Float64Array(count);
    for (const { row, weight } of entries) {
      const accelerates = isAcceleration(rows[row]!.quantity);
      for (let mode = 0; mode < count; mode++) {
        const perAcceleration = accelerates ? 1 : deflected[mode]!;
        const lift = Math.abs(weight * modalValues[row * count + mode]!) * perAcceleration;
        most[mode] = Math.max(most[mode]!, lift);
      }
    }
    lifts.set(check, most);
  }
  known.set(variant, lifts);
  return lifts;
}
