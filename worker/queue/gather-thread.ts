import { sha256OfJson } from '../../scenarios/canonical-json.js';
import type { Scenario } from '../../scenarios/scenario.js';
import type { PartResult } from '../assessment.js';
import type { AssessmentOutputs } from '../assessments/assessment-store.js';
import { renderOutputs } from '../assessments/render-outputs.js';
import type { EngineModule } from './engine-module.js';

export interface GatherTask {
  readonly engine: string;
  readonly scenario: Scenario;
  /** The file as it came: the report echoes what was given. */
  readonly scenarioText: string;
  readonly parts: readonly PartResult[];
}

/** Entry of the gathering thread: a large report takes seconds, which the worker's event loop does not have. */
export default async function gatherInThread(task: GatherTask): Promise<AssessmentOutputs> {
  const { gatherResult } = (await import(task.engine)) as EngineModule;
  const document: unknown = JSON.parse(task.scenarioText);
  return renderOutputs(gatherResult(task.scenario, task.parts, sha256OfJson(document)), document);
}
