import { readScenario } from '../../scenarios/read-scenario.js';
import type { PartResult } from '../assessment.js';
import type { AssessmentOutputs } from '../assessments/assessment-store.js';
import { renderOutputs } from '../assessments/render-outputs.js';
import type { TaskHandler } from '../threads/task-handler.js';
import type { EngineModule } from './engine-module.js';

export interface GatherTask {
  readonly engine: string;
  /** The file as it came: the report echoes what was given. */
  readonly scenarioText: string;
  readonly parts: readonly PartResult[];
}

/** What the gathering thread reports: that it has taken the task, and, its engine loaded, that it begins. */
export type GatherReport = 'taken' | 'begun';

const gatherInThread: TaskHandler<GatherTask, AssessmentOutputs, GatherReport> = async (task, report) => {
  report('taken');
  const { gatherResult } = (await import(task.engine)) as EngineModule;
  report('begun');
  const reading = readScenario(task.scenarioText);
  if (!reading.ok) throw new Error(`the stored scenario does not validate: ${reading.faults[0]?.message}`);
  return renderOutputs(
    gatherResult(reading.scenario, task.parts, reading.sha256),
    JSON.parse(task.scenarioText),
  );
};

/** What the gathering thread does: a large report takes seconds, which the worker's event loop does not have. */
export default gatherInThread;
