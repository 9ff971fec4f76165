import type { Result } from '../../scenarios/result.js';
import type { AssessmentPart } from '../assessment.js';
import { gatherResult, planAssessment } from '../engine.js';
import { createPartPool, type PartPool } from '../part-pool.js';
import { serialiseResult } from '../report/result-json.js';
import { compareContracts, type Movement } from './compare-contracts.js';
import { contractFieldsOf } from './contract-fields.js';
import type { RegressionScenario } from './regression-set.js';

/** What became of one scenario. Only the first two are good. */
export type Verdict = 'unchanged' | 'drift' | 'change' | 'no-baseline' | 'failed';

export interface ScenarioOutcome {
  readonly id: string;
  readonly title: string;
  readonly verdict: Verdict;
  readonly movements: readonly Movement[];
  /** Why there was nothing to compare, or how the computation failed; null otherwise. */
  readonly fault: string | null;
  /** Null where the computation failed. */
  readonly result: Result | null;
  readonly seconds: number;
}

export interface RegressionRun {
  readonly outcomes: readonly ScenarioOutcome[];
  readonly seconds: number;
  /** True when nothing changed, failed or lacked its baseline; drift is allowed. */
  readonly passed: boolean;
}

export interface RunRegressionOptions {
  readonly threads: number;
  /** Ends everything; the run then rejects with PartCancelled. */
  readonly signal?: AbortSignal;
  readonly onOutcome?: (outcome: ScenarioOutcome) => void;
  /** Module that computes; default the built-in one. */
  readonly engine?: URL;
  /** A pool that somebody else owns; default: one for this run. */
  readonly pool?: PartPool;
}

/** More than any train list: one part per damage case, so that its model is built once. */
const allTrains = Number.MAX_SAFE_INTEGER;

/** Runs every scenario of the set in threads and compares it with its baseline. Outcomes keep the set's order. */
export async function runRegression(
  set: readonly RegressionScenario[],
  options: RunRegressionOptions,
): Promise<RegressionRun> {
  const started = performance.now();
  const pool =
    options.pool ??
    createPartPool({
      threads: options.threads,
      ...(options.engine === undefined ? {} : { engine: options.engine }),
    });
  try {
    const outcomes = await Promise.all(
      set.map(async (entry) => {
        const outcome = await outcomeOf(entry, pool, options.signal);
        options.onOutcome?.(outcome);
        return outcome;
      }),
    );
    const passed = outcomes.every(({ verdict }) => verdict === 'unchanged' || verdict === 'drift');
    return { outcomes, seconds: (performance.now() - started) / 1000, passed };
  } finally {
    if (options.pool === undefined) await pool.close();
  }
}

async function outcomeOf(
  entry: RegressionScenario,
  pool: PartPool,
  signal: AbortSignal | undefined,
): Promise<ScenarioOutcome> {
  let computing = 0;
  const about = { id: entry.id, title: entry.scenario.title };
  let result: Result;
  try {
    const run = async (part: AssessmentPart) => {
      const from = performance.now();
      const done = await pool.run(entry.scenario, part, signal === undefined ? {} : { signal });
      computing += performance.now() - from;
      return done;
    };
    const parts = await Promise.all(planAssessment(entry.scenario, allTrains).map(run));
    result = gatherResult(entry.scenario, parts, entry.sha256);
    // What cannot be written (NaN, a missing field) is a failure here as it would be in service.
    serialiseResult(result);
  } catch (error) {
    if (signal?.aborted) throw error;
    const fault = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
    return { ...about, verdict: 'failed', movements: [], fault, result: null, seconds: computing / 1000 };
  }
  const seconds = computing / 1000;
  if (!entry.baseline.ok)
    return { ...about, verdict: 'no-baseline', movements: [], fault: entry.baseline.why, result, seconds };
  const movements = compareContracts(entry.baseline.baseline, contractFieldsOf(result, entry.sweptSpeeds), {
    sweptSpeeds: 'before',
  });
  const verdict = movements.some((movement) => movement.verdict === 'change')
    ? 'change'
    : movements.length > 0
      ? 'drift'
      : 'unchanged';
  return { ...about, verdict, movements, fault: null, result, seconds };
}
