import { translateScenario } from '../scenarios/translate.js';
import type { AssessmentPart, PlanAssessment } from './assessment.js';
import { trainIdentity } from './train-id.js';

/**
 * Every damage case times the trains, cut into parts of a few trains of one case. The case's model is built once per part, so that
 * very small parts repeat that work; one train per part keeps all cores busy.
 */
export const planAssessment: PlanAssessment = (scenario, trainsPerPart = 1) => {
  const model = translateScenario(scenario);
  const trains = model.trains.map((entry) => trainIdentity(entry).id);
  const parts: AssessmentPart[] = [];
  for (const { id } of model.damageCases) {
    for (let first = 0; first < trains.length; first += trainsPerPart) {
      parts.push({ damageCase: id, trains: trains.slice(first, first + trainsPerPart) });
    }
  }
  return parts;
};
