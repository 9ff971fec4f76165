import type { Scenario } from '../../scenarios/scenario.js';
import type { PartResult } from '../assessment.js';
import type { AssessmentOutputs } from '../assessments/assessment-store.js';
import type { EngineModule } from './engine-module.js';

export interface GatherTask {
  readonly engine: string;
  readonly scenario: Scenario;
  readonly parts: readonly PartResult[];
}

/** Entry of the gathering thread: a large report takes seconds, which the worker's event loop does not have. */
export default async function gatherInThread({
  engine,
  scenario,
  parts,
}: GatherTask): Promise<AssessmentOutputs> {
  const module = (await import(engine)) as EngineModule;
  return module.renderOutputs(module.gatherResult(scenario, parts), scenario);
}
