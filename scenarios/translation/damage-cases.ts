import type { DamageEffect } from '../../solver/viaduct/model.js';
import type { DamageCase, Resistance } from '../assessment-model.js';
import type { Scenario } from '../scenario.js';
import type { ScenarioDamageEffect } from '../schema/damage-case.js';
import { intactResistance, resistanceInCase, supportsJudgedAsBuilt } from './resistance.js';

/** The intact case first, then the scenario's in file order. */
export function damageCasesOf(scenario: Scenario): readonly DamageCase[] {
  const intact: Resistance | null = intactResistance(scenario);
  return [
    { id: 'intact', title: null, effects: [], resistance: intact, supportsJudgedAsBuilt: [] },
    ...scenario.damage_cases.map((damageCase) => ({
      id: damageCase.id,
      title: damageCase.title ?? null,
      effects: damageCase.effects.map(effectOf),
      resistance: resistanceInCase(scenario, damageCase, intact),
      supportsJudgedAsBuilt: supportsJudgedAsBuilt(damageCase, intact),
    })),
  ];
}

function effectOf(effect: Readonly<ScenarioDamageEffect>): DamageEffect {
  switch (effect.kind) {
    case 'support-stiffness-loss':
      return { ...effect };
    case 'bearing-loss':
      return {
        kind: effect.kind,
        support: effect.support,
        ...(effect.side && { side: effect.side }),
      };
    case 'support-settlement':
      return { kind: effect.kind, support: effect.support, settlement: effect.settlement_mm / 1e3 };
    case 'deck-stiffness-loss':
      return {
        kind: effect.kind,
        span: effect.span - 1,
        from: effect.from_m,
        to: effect.to_m,
        fraction: effect.fraction,
      };
    case 'bedding-loss':
    case 'fastening-loss':
      return { kind: effect.kind, from: effect.from_m, to: effect.to_m, fraction: effect.fraction };
  }
}
