import type { Check, CheckId, TrainResult } from '../../scenarios/result.js';
import { upliftResistance } from '../../solver/viaduct/bearings.js';
import { failing } from '../checks/check.js';
import type { CaseState } from './case-state.js';
import { behindColon, describeLiftOff, describeMechanism } from './wording.js';

/**
 * A case that statics alone decide: a mechanism, or dead load pulling off a bearing, where the linear model has lost its ground.
 * Null when trains have to be looked at.
 */
export function closedByStatics(
  lineSpeedKmh: number,
  state: CaseState,
  train: { readonly id: string; readonly class: string },
): TrainResult | null {
  if (state.mechanism) {
    return closedTrain(
      train,
      'equilibrium',
      `Keep the line closed: ${behindColon(describeMechanism(state.mechanism))}.`,
      [equilibriumCheck(state, lineSpeedKmh)],
    );
  }
  if (state.released) {
    return closedTrain(
      train,
      'bearing-uplift',
      `Keep the line closed: ${behindColon(describeLiftOff(state.released))}.`,
      [equilibriumCheck(state, lineSpeedKmh), deadLoadUplift(state)],
    );
  }
  return null;
}

/** Value: spans that nothing holds; any is too many. */
export function equilibriumCheck(state: CaseState, lineSpeedKmh: number): Check {
  const loose = state.mechanism ? Math.max(1, state.mechanism.spans.length) : 0;
  return {
    id: 'equilibrium',
    kind: 'safety',
    value: loose,
    limit: 0,
    unit: 'spans',
    utilisation: loose > 0 ? failing : 0,
    speed_kmh: null,
    at_m: null,
    where: state.mechanism ? describeMechanism(state.mechanism) : null,
    source: 'statics of deck and supports alone',
    evidence: 'given',
    permitted_speed_kmh: loose > 0 ? null : lineSpeedKmh,
  };
}

function deadLoadUplift(state: CaseState): Check {
  const { bearings } = state.deadLoad!;
  const worst = bearings.reduce((least, line) => (line.reaction < least.reaction ? line : least));
  const support = state.viaduct.supports[worst.support]!;
  const resistance = upliftResistance(support, worst);
  return {
    id: 'bearing-uplift',
    kind: 'safety',
    value: -worst.reaction / 1e3,
    limit: resistance / 1e3,
    unit: 'kN',
    utilisation: resistance > 0 ? Math.min(failing, -worst.reaction / resistance) : failing,
    speed_kmh: null,
    at_m: null,
    where: `support ${support.id}${worst.side === 'only' ? '' : `, ${worst.side} bearing`}, dead load alone`,
    source: 'statics of deck and supports alone, held down',
    evidence: 'given',
    permitted_speed_kmh: null,
  };
}

function closedTrain(
  train: { readonly id: string; readonly class: string },
  governing: CheckId,
  reason: string,
  checks: Check[],
): TrainResult {
  return {
    train: train.id,
    class: train.class,
    status: 'closed',
    permitted_speed_kmh: null,
    comfort_speed_kmh: null,
    governing,
    reason,
    blocked_bands_kmh: [],
    missing: [],
    resonance_speeds_kmh: [],
    checks,
    sweep: { speed_kmh: [] },
    sweep_limits: {},
    envelope: null,
  };
}
