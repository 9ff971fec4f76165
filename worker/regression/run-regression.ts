import type { Result } from '../../scenarios/result.js';
import type { PartResult } from '../assessment.js';
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
  /** Ends everything; the run then rejects. */
  readonly signal?: AbortSignal;
  readonly onOutcome?: (outcome: ScenarioOutcome) => void;
  /** Module that computes; default the built-in one. */
  readonly engine?: URL;
  /** A pool that somebody else owns; default: one for this run. */
  readonly pool?: Pick<PartPool, 'run'>;
}

/** More than any train list: one part per damage case, so that its model is built once. */
const allTrains = Number.MAX_SAFE_INTEGER;

/** Runs every scenario of the set in threads and compares it with its baseline. Outcomes keep the set's order. */
export async function runRegression(
  set: readonly RegressionScenario[],
  options: RunRegressionOptions,
): Promise<RegressionRun> {
  if (options.pool !== undefined) return runIn(options.pool, set, options);
  const { threads, engine } = options;
  const pool = createPartPool({ threads, ...(engine === undefined ? {} : { engine }) });
  try {
    return await runIn(pool, set, options);
  } finally {
    await pool.close();
  }
}

async function runIn(
  pool: Pick<PartPool, 'run'>,
  set: readonly RegressionScenario[],
  options: RunRegressionOptions,
): Promise<RegressionRun> {
  const started = performance.now();
  const computed = await computeParts(set, pool, options);
  const outcomes = set.map((entry) => computed.get(entry.id)!);
  const passed = outcomes.every(({ verdict }) => verdict === 'unchanged' || verdict === 'drift');
  return { outcomes, seconds: (performance.now() - started) / 1000, passed };
}

/** What has been computed of a scenario so far. */
interface Progress {
  readonly entry: RegressionScenario;
  readonly parts: PartResult[];
  left: number;
  fault: string | null;
  milliseconds: number;
}

/** As many parts at a time as there are threads, in the set's order, so that a pool shared with others is not flooded. */
async function computeParts(
  set: readonly RegressionScenario[],
  pool: Pick<PartPool, 'run'>,
  { threads, signal, onOutcome }: RunRegressionOptions,
): Promise<ReadonlyMap<string, ScenarioOutcome>> {
  const outcomes = new Map<string, ScenarioOutcome>();
  const tasks = set.flatMap((entry) => {
    const parts = planAssessment(entry.scenario, allTrains);
    const progress: Progress = { entry, parts: [], left: parts.length, fault: null, milliseconds: 0 };
    return parts.map((part) => ({ progress, part }));
  });
  const work = async (): Promise<void> => {
    for (let task = tasks.shift(); task !== undefined; task = tasks.shift()) {
      const { progress, part } = task;
      const from = performance.now();
      try {
        const run = pool.run(progress.entry.scenario, part, signal === undefined ? {} : { signal });
        progress.parts.push(await run);
      } catch (error) {
        if (signal?.aborted) throw error;
        progress.fault ??= faultText(error);
      }
      progress.milliseconds += performance.now() - from;
      progress.left--;
      if (progress.left > 0) continue;
      const outcome = outcomeOf(progress);
      outcomes.set(progress.entry.id, outcome);
      onOutcome?.(outcome);
    }
  };
  await Promise.all(Array.from({ length: threads }, work));
  return outcomes;
}

function outcomeOf({ entry, parts, fault, milliseconds }: Progress): ScenarioOutcome {
  const seconds = milliseconds / 1000;
  const about = { id: entry.id, title: entry.scenario.title, seconds };
  const failed = (why: string): ScenarioOutcome => ({
    ...about,
    verdict: 'failed',
    movements: [],
    fault: why,
    result: null,
  });
  if (fault !== null) return failed(fault);
  let result: Result;
  try {
    result = gatherResult(entry.scenario, parts, entry.sha256);
    // What cannot be written (NaN, a missing field) is a failure here as it would be in service.
    serialiseResult(result);
  } catch (error) {
    return failed(faultText(error));
  }
  if (!entry.baseline.ok)
    return { ...about, verdict: 'no-baseline', movements: [], fault: entry.baseline.why, result };
  const movements = compareContracts(entry.baseline.baseline, contractFieldsOf(result, entry.sweptSpeeds), {
    sweptSpeeds: 'before',
  });
  const changed = movements.some((movement) => movement.verdict === 'change');
  const verdict = changed ? 'change' : movements.length > 0 ? 'drift' : 'unchanged';
  return { ...about, verdict, movements, fault: null, result };
}

const faultText = (error: unknown): string =>
  error instanceof Error ? `${error.name}: ${error.message}` : String(error);
