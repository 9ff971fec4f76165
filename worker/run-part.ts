import type { AssessmentModel } from '../scenarios/assessment-model.js';
import type { Scenario } from '../scenarios/scenario.js';
import { translateScenario } from '../scenarios/translate.js';
import { caseResultOf } from './assess/case-result.js';
import { buildCaseState, type CaseState } from './assess/case-state.js';
import { assessTrain } from './assess/train-result.js';
import type { RunPart } from './assessment.js';
import { trainIdentity } from './train-id.js';

/** A part names a damage case or a train that the scenario does not have. */
export class UnknownPartError extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'UnknownPartError';
  }
}

/** The last case of the last scenario: the parts of one case mostly follow each other in a thread. */
let latest: { key: string; model: AssessmentModel; state: CaseState | null } | null = null;

/**
 * Runs one part. Synchronous and CPU-bound; the answer depends on nothing but its arguments.
 *
 * @throws UnknownPartError
 */
export const runPart: RunPart = (scenario, part, options = {}) => {
  const { model, state } = prepare(scenario, part.damageCase);
  return {
    part,
    damageCase: caseResultOf(state),
    trains: part.trains.map((id) => {
      const entry = model.trains.find((one) => trainIdentity(one).id === id);
      if (!entry) throw new UnknownPartError(`the scenario has no train ${id}`);
      return assessTrain(model, state, entry, (fraction) =>
        options.onProgress?.({ damageCase: part.damageCase, train: id, fraction }),
      );
    }),
  };
};

function prepare(scenario: Scenario, id: string): { model: AssessmentModel; state: CaseState } {
  // A scenario reaches a thread as a new copy with every part.
  const key = JSON.stringify(scenario);
  if (latest?.key !== key) latest = { key, model: translateScenario(scenario), state: null };
  const { model } = latest;
  if (latest.state?.damageCase.id !== id) {
    const damageCase = model.damageCases.find((one) => one.id === id);
    if (!damageCase) throw new UnknownPartError(`the scenario has no damage case ${id}`);
    latest.state = buildCaseState(model, damageCase);
  }
  return { model, state: latest.state! };
}
