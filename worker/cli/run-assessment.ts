import { setMaxListeners } from 'node:events';
import type { Result } from '../../scenarios/result.js';
import type { Scenario } from '../../scenarios/scenario.js';
import type { AssessmentPart, PartProgress, PartResult } from '../assessment.js';
import { gatherResult } from '../gather.js';
import { planAssessment } from '../plan.js';
import { interruptible } from './interruption.js';
import type { ProgressReporter } from './progress-line.js';

export interface RunOptions {
  /** Hash that the result states for the scenario. */
  readonly scenarioSha256: string;
  /** Threads at most; 1 computes in the calling thread. */
  readonly threads: number;
  readonly createProgress: (parts: readonly AssessmentPart[]) => ProgressReporter;
}

/**
 * Plan, run the parts, gather. With one thread or one part nothing is started: a small scenario is done before a thread
 * would be up. The result is the same, byte for byte, whatever the number of threads.
 *
 * @throws InterruptedError when threads are at work; without them the system's own handling ends the process
 * @throws what the first failing part throws; the others are stopped.
 */
export async function runAssessment(scenario: Scenario, options: RunOptions): Promise<Result> {
  const whole = planAssessment(scenario, trainsPerPart(scenario, options.threads));
  const parts = withShortEnd(whole, options.threads);
  const progress = options.createProgress(parts);
  try {
    const inThreads = options.threads > 1 && parts.length > 1;
    const results = inThreads
      ? await runInThreads(scenario, parts, progress, options.threads)
      : await runHere(scenario, parts, progress);
    return gatherResult(scenario, results, options.scenarioSha256);
  } finally {
    progress.close();
  }
}

/** A person waits in front of the command and can stop it: a part may take a day, and its share of the memory that is left. */
const maxSecondsPerPart = 86_400;
const leastMegabytesPerPart = 2048;

const megabytesPerPart = (threads: number): number =>
  Math.max(leastMegabytesPerPart, Math.floor(process.availableMemory() / 2 ** 20 / threads));

/** Parts for each thread at least, so that all end at about the same time. */
const partsPerThread = 4;

/** As many trains of a case together as keep the threads busy: the model of a case is built once per part. */
function trainsPerPart(scenario: Scenario, threads: number): number {
  const trains = scenario.trains.length;
  const runs = trains * (scenario.damage_cases.length + 1);
  return Math.min(trains, Math.max(1, Math.floor(runs / (partsPerThread * threads))));
}

/** The last part of each thread train by train, so that no thread waits long for another's. */
function withShortEnd(parts: readonly AssessmentPart[], threads: number): readonly AssessmentPart[] {
  if (threads === 1) return parts;
  return parts.flatMap((part, index) =>
    index < parts.length - threads ? [part] : part.trains.map((train) => ({ ...part, trains: [train] })),
  );
}

async function runHere(
  scenario: Scenario,
  parts: readonly AssessmentPart[],
  progress: ProgressReporter,
): Promise<readonly PartResult[]> {
  const { runPart } = await import('../run-part.js');
  return parts.map((part) => {
    const result = runPart(scenario, part, { onProgress: (step: PartProgress) => progress.advanced(step) });
    progress.finished(part);
    return result;
  });
}

function runInThreads(
  scenario: Scenario,
  parts: readonly AssessmentPart[],
  progress: ProgressReporter,
  threads: number,
): Promise<readonly PartResult[]> {
  return interruptible(async (stopped) => {
    const { createPartPool } = await import('../part-pool.js');
    const failed = new AbortController();
    const signal = AbortSignal.any([stopped, failed.signal]);
    // Every part listens; Node warns of more than ten.
    setMaxListeners(parts.length + 1, signal);
    const together = Math.min(threads, parts.length);
    const maxMegabytesPerPart = megabytesPerPart(together);
    const pool = createPartPool({ threads: together, maxSecondsPerPart, maxMegabytesPerPart });
    try {
      return await Promise.all(
        parts.map(async (part) => {
          const onProgress = (step: PartProgress): void => progress.advanced(step);
          const result = await pool.run(scenario, part, { signal, onProgress });
          progress.finished(part);
          return result;
        }),
      );
    } catch (error) {
      failed.abort();
      throw error;
    } finally {
      await pool.close();
    }
  });
}
