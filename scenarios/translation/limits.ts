import type { Limit, LimitSet } from '../assessment-model.js';
import { checkUnits } from '../limits/check-units.js';
import { en1990A2 } from '../limits/en-1990-a2.js';
import { limitSets } from '../limits/limit-sets.js';
import type { CheckId } from '../result.js';
import type { Scenario } from '../scenario.js';
import type { LimitSetFile } from '../schema/limits.js';

type DeepLimit =
  | NonNullable<Scenario['limits']['own_set']>['limits'][number]
  | LimitSetFile['limits'][number];

/**
 * The limits that apply: the base set, over it the named set, over it the scenario's own set, over it single overrides. A check
 * is never without a limit because somebody's set leaves it out.
 */
export function limitsOf(scenario: Scenario): LimitSet {
  const { set, own_set: ownSet, overrides } = scenario.limits;
  const limits = new Map<CheckId, Limit>();
  for (const source of [en1990A2, limitSets[set], ownSet]) {
    for (const limit of source?.limits ?? []) limits.set(limit.check, limitOf(limit));
  }
  for (const [check, about] of Object.entries(checkUnits)) {
    const value = Reflect.get(overrides, check);
    const base = [...limits.values()].find((limit) => limit.check === check);
    if (typeof value !== 'number' || base === undefined) continue;
    limits.set(base.check, {
      ...base,
      unit: about.unit,
      steps: [{ upToKmh: base.steps.at(-1)!.upToKmh, value }],
      perSpan: false,
      source: `override in the scenario (otherwise ${base.source})`,
    });
  }
  const pull = limits.get('fastening-uplift');
  const clamping = scenario.track?.fastening.clamping_force_kN;
  if (pull && clamping !== undefined) limits.set('fastening-uplift', heldByClamping(pull, clamping));
  return limits;
}

/** A rail that has used up the clamping force lies loose on its pads, whatever pull is allowed otherwise. */
function heldByClamping(limit: Limit, clampingKN: number): Limit {
  if (limit.steps.every(({ value }) => value <= clampingKN)) return limit;
  return {
    ...limit,
    steps: limit.steps.map((step) => ({ ...step, value: Math.min(step.value, clampingKN) })),
    source: `clamping force of the fastening (otherwise ${limit.source})`,
  };
}

function limitOf(limit: DeepLimit): Limit {
  return {
    check: limit.check,
    kind: limit.kind,
    unit: limit.unit === 'L/n' ? 'mm' : limit.unit,
    steps: limit.steps.map((step) => ({
      upToKmh: step.up_to_kmh ?? Number.POSITIVE_INFINITY,
      value: step.value,
    })),
    perSpan: limit.unit === 'L/n',
    source: limit.source,
  };
}
