import { type Job, UnrecoverableError, WaitingError } from 'bullmq';
import type { PartProgress } from '../assessment.js';
import { announceProgress } from '../assessments/assessment-events.js';
import { PartCancelled, PartCrashed, PartFailed, PartLimitExceeded } from '../part-faults.js';
import { recordPart } from '../service/work-metrics.js';
import { leaveToOwnEngine } from './leave-to-own-engine.js';
import type { PartJob } from './queues.js';
import { loadScenario, type WorkerContext, wantedRecord } from './worker-context.js';

/** Why a running part was told to stop: as the reason of its AbortSignal. */
export const stopReasons = { cancelled: 'cancelled', handBack: 'hand-back' } as const;

const PROGRESS_MILLISECONDS = 500;

/**
 * Computes one part and stores its result. A part may run twice, on two workers even: the result is the same and is written
 * whole, so that the second changes nothing.
 *
 * @throws DelayedError when it is for workers of another version
 * @throws UnrecoverableError for what a retry cannot cure
 * @throws WaitingError when the part was handed back, because this worker ends
 */
export async function processPart(
  context: WorkerContext,
  job: Job<PartJob>,
  token: string,
  signal: AbortSignal,
): Promise<{ readonly seconds: number }> {
  const { id, index } = job.data;
  const { store, redis } = context;
  if (await store.hasPart(id, index)) return { seconds: 0 };
  const record = await wantedRecord(context, id);
  if (record === null) return { seconds: 0 };
  await leaveToOwnEngine(context.settings, job, record, token);
  const part = (await store.plannedParts(id))?.[index];
  if (part === undefined) throw new UnrecoverableError(`assessment ${id} has no part ${index}`);
  const scenario = await loadScenario(context, id);
  const report = throttledProgress(context, id, index, part.trains.length);
  await store.saveProgress(id, index, 0);
  const started = performance.now();
  const seconds = () => (performance.now() - started) / 1000;
  try {
    const result = await context.parts.run(scenario, part, { signal, onProgress: report });
    await store.savePart(id, index, result);
    await announceProgress(redis, id, { part: index, damage_case: part.damageCase, train: '', fraction: 1 });
    await recordPart(redis, 'completed', seconds());
    return { seconds: seconds() };
  } catch (error) {
    if (error instanceof PartCancelled && signal.reason !== stopReasons.cancelled) {
      await job.moveToWait(token);
      throw new WaitingError();
    }
    await recordPart(redis, outcomeOf(error), seconds());
    if (isIncurable(error)) throw new UnrecoverableError(error.message);
    throw error;
  }
}

function isIncurable(error: unknown): error is Error {
  return (
    error instanceof PartCancelled ||
    error instanceof PartCrashed ||
    error instanceof PartFailed ||
    error instanceof PartLimitExceeded
  );
}

function outcomeOf(error: unknown) {
  if (error instanceof PartCancelled) return 'cancelled';
  if (error instanceof PartLimitExceeded) return error.limit === 'time' ? 'time_limit' : 'memory_limit';
  if (error instanceof PartCrashed) return 'crashed';
  return error instanceof PartFailed ? 'failed' : 'interrupted';
}

/** Progress of the part's trains as one fraction, written and announced now and then. */
function throttledProgress(context: WorkerContext, id: string, index: number, trains: number) {
  const fractions = new Map<string, number>();
  let last = Number.NEGATIVE_INFINITY;
  return ({ damageCase, train, fraction }: PartProgress): void => {
    fractions.set(train, fraction);
    const now = performance.now();
    if (now - last < PROGRESS_MILLISECONDS) return;
    last = now;
    const sum = [...fractions.values()].reduce((total, one) => total + one, 0);
    void Promise.all([
      context.store.saveProgress(id, index, sum / Math.max(trains, 1)),
      announceProgress(context.redis, id, { part: index, damage_case: damageCase, train, fraction }),
    ]).catch((error) => context.log.warn({ error, id, index }, 'progress not recorded'));
  };
}
