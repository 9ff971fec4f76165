import type { AssessmentModel } from '../scenarios/assessment-model.js';

/** A train as the scenario names it, a moving one or a static load model. */
export function trainIdentity(entry: AssessmentModel['trains'][number]): {
  readonly id: string;
  readonly class: string;
} {
  return entry.kind === 'moving' ? entry.train : entry.model;
}
