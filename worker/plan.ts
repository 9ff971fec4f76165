import { translateScenario } from '../scenarios/translate.js';
import type { AssessmentPart, PlanAssessment } from './assessment.js';
import { trainsForOnePart } from './part-size.js';
import { trainIdentity } from './train-id.js';

/**
 * Every damage case times the trains, cut into parts of some trains of one case: as many as asked for, otherwise as make a few
 * seconds of work. The case's model is built once per part, so that very small parts repeat that work.
 */
export const planAssessment: PlanAssessment = (scenario, trainsPerPart) => {
  const model = translateScenario(scenario);
  const together = trainsPerPart ?? trainsForOnePart(model);
  const trains = model.trains.map((entry) => trainIdentity(entry).id);
  const parts: AssessmentPart[] = [];
  for (const { id } of model.damageCases) {
    for (let first = 0; first < trains.length; first += together) {
      parts.push({ damageCase: id, trains: trains.slice(first, first + together) });
    }
  }
  return parts;
};
