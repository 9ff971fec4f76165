import type { AssessmentModel } from './assessment-model.js';
import type { Scenario } from './scenario.js';
import { damageCasesOf } from './translation/damage-cases.js';
import { limitsOf } from './translation/limits.js';
import { intactResistance } from './translation/resistance.js';
import { speedGrid } from './translation/speeds.js';
import { irregularityOf } from './translation/track-irregularity.js';
import { trainsOf } from './translation/trains.js';
import { viaductOf } from './translation/viaduct.js';

/**
 * Translates a validated scenario into SI units, with load models, limits and resistances resolved. This and `translation/` are
 * the one place where units change. Throws RangeError only for a scenario that did not come from `readScenario`.
 */
export function translateScenario(scenario: Scenario): AssessmentModel {
  const { decision } = scenario;
  return {
    title: scenario.title,
    lineSpeedKmh: scenario.line.speed_kmh,
    startChainageKm: scenario.line.start_chainage_km ?? null,
    viaduct: viaductOf(scenario),
    meeting: scenario.meeting ?? 'all-tracks',
    irregularity: irregularityOf(scenario),
    trains: trainsOf(scenario),
    damageCases: damageCasesOf(scenario),
    resistance: intactResistance(scenario),
    limits: limitsOf(scenario),
    speedsKmh: speedGrid(scenario),
    overspeedFactor: decision.overspeed_factor,
    roundDownToKmh: decision.round_down_to_kmh,
    bounds: {
      stiffnessFactors: withNominal(decision.bounds.stiffness_factors),
      massFactors: withNominal(decision.bounds.mass_factors),
      dampingFactors: withNominal(decision.bounds.damping_factors),
    },
  };
}

/** The factors once each, nominal first, then ascending. */
function withNominal(factors: readonly number[]): readonly number[] {
  return [1, ...[...new Set(factors)].filter((factor) => factor !== 1).sort((a, b) => a - b)];
}
