import type { Result } from '../../scenarios/result.js';
import type { Scenario } from '../../scenarios/scenario.js';
import type { GatherResult, PlanAssessment, RunPart } from '../assessment.js';
import type { AssessmentOutputs } from '../assessments/assessment-store.js';

/** What a module must export to compute for the queue. It is imported in the worker and in its threads. */
export interface EngineModule {
  readonly planAssessment: PlanAssessment;
  readonly runPart: RunPart;
  readonly gatherResult: GatherResult;
  /** Result file, report and table as text; the same text as on the command line. */
  readonly renderOutputs: (result: Result, scenario: Scenario) => AssessmentOutputs;
}
