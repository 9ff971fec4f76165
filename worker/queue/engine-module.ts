import type { GatherResult, PlanAssessment, RunPart } from '../assessment.js';

/** What a module must export to compute for the queue. It is imported in the worker and in its threads. */
export interface EngineModule {
  readonly planAssessment: PlanAssessment;
  readonly runPart: RunPart;
  readonly gatherResult: GatherResult;
}
