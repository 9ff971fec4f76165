import type { CaseResult, Result, TrainResult } from '../scenarios/result.js';
import type { Scenario } from '../scenarios/scenario.js';

/**
 * The shape of an assessment's work, the same in process and behind the queue:
 * plan -> run parts (anywhere, in any order, possibly twice) -> gather. Everything that crosses is plain JSON.
 */

/** One piece of work: some trains on one damage case. Parts are independent of each other. */
export interface AssessmentPart {
  readonly damageCase: string;
  /** Train ids, in scenario order; empty when only the case's statics and modes are wanted. */
  readonly trains: readonly string[];
}

/** What a part yields: the case without its trains, and the trains it was asked for. */
export interface PartResult {
  readonly part: AssessmentPart;
  readonly damageCase: Omit<CaseResult, 'trains'>;
  readonly trains: readonly TrainResult[];
}

export interface PartProgress {
  readonly damageCase: string;
  readonly train: string;
  /** 0 to 1. */
  readonly fraction: number;
}

export type PlanAssessment = (scenario: Scenario, trainsPerPart?: number) => readonly AssessmentPart[];
/** Synchronous and CPU-bound: run it in a thread of a pool, which is what ends it on cancel. */
export type RunPart = (
  scenario: Scenario,
  part: AssessmentPart,
  options?: { readonly onProgress?: (progress: PartProgress) => void },
) => PartResult;
/** Order of the parts does not matter; a duplicate part is ignored. */
export type GatherResult = (
  scenario: Scenario,
  parts: readonly PartResult[],
  scenarioSha256: string,
) => Result;
