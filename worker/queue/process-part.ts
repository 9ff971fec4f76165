import { type Job, UnrecoverableError } from 'bullmq';
import type { Scenario } from '../../scenarios/scenario.js';
import type { AssessmentPart, PartProgress } from '../assessment.js';
import { announceProgress } from '../assessments/assessment-events.js';
import { PartCancelled, PartCrashed, PartFailed, PartLimitExceeded, PartNotStarted } from '../part-faults.js';
import { isRedisUnavailable } from '../service/redis.js';
import { recordPart } from '../service/work-metrics.js';
import { leaveToOwnEngine } from './leave-to-own-engine.js';
import type { PartJob } from './queues.js';
import { handBack, type Patience, StoreWaitEnded, waitOutStore } from './wait-out-store.js';
import { loadScenario, type WorkerContext, wantedRecord } from './worker-context.js';

/** Why a running part was told to stop: as the reason of its AbortSignal. */
export const stopReasons = { cancelled: 'cancelled', handBack: 'hand-back' } as const;

const PROGRESS_MILLISECONDS = 500;

/**
 * Computes one part and stores its result. A part may run twice, on two workers even: the result is the same and is written
 * whole, so that the second changes nothing. While Redis cannot serve, a result that is computed waits for it.
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
  const patiently = waitOutStore(signal, context.log);
  try {
    const wanted = await patiently(() => wantedPart(context, job, token));
    return wanted === null ? { seconds: 0 } : await compute(context, job.data, wanted, patiently, signal);
  } catch (error) {
    if (isHandedBack(error, signal)) return handBack(job, token);
    if (isIncurable(error)) throw new UnrecoverableError(error.message);
    throw error;
  }
}

interface WantedPart {
  readonly scenario: Scenario;
  readonly part: AssessmentPart;
}

/** Null where there is a result already, or nobody waits for one. */
async function wantedPart(
  context: WorkerContext,
  job: Job<PartJob>,
  token: string,
): Promise<WantedPart | null> {
  const { id, index } = job.data;
  const { store } = context;
  if (await store.hasPart(id, index)) return null;
  const record = await wantedRecord(context, id);
  if (record === null) return null;
  await leaveToOwnEngine(context.settings, job, record, token);
  const part = (await store.plannedParts(id))?.[index];
  if (part === undefined) throw new UnrecoverableError(`assessment ${id} has no part ${index}`);
  return { part, scenario: await loadScenario(context, id) };
}

async function compute(
  context: WorkerContext,
  { id, index }: PartJob,
  { scenario, part }: WantedPart,
  patiently: Patience,
  signal: AbortSignal,
): Promise<{ readonly seconds: number }> {
  const { store, redis } = context;
  // Progress is for those who look on: the part does not depend on it.
  const unrecorded = (error: unknown) =>
    context.log[isRedisUnavailable(error) ? 'debug' : 'warn']({ error, id, index }, 'progress not recorded');
  const report = throttledProgress(context, { id, index }, part.trains.length, unrecorded);
  await store.saveProgress(id, index, 0).catch(unrecorded);
  const started = performance.now();
  const seconds = () => (performance.now() - started) / 1000;
  try {
    const result = await context.parts.run(scenario, part, { signal, onProgress: report });
    await patiently(() => store.savePart(id, index, result));
    const progress = { part: index, damage_case: part.damageCase, train: '', fraction: 1 };
    await announceProgress(redis, id, progress).catch(unrecorded);
    await recordPart(redis, 'completed', seconds());
    return { seconds: seconds() };
  } catch (error) {
    if (!isHandedBack(error, signal)) await recordPart(redis, outcomeOf(error), seconds());
    throw error;
  }
}

function isHandedBack(error: unknown, signal: AbortSignal): boolean {
  const stopped = error instanceof PartCancelled || error instanceof StoreWaitEnded;
  return stopped && signal.reason !== stopReasons.cancelled;
}

function isIncurable(error: unknown): error is Error {
  return (
    error instanceof PartCancelled ||
    error instanceof StoreWaitEnded ||
    error instanceof PartCrashed ||
    (error instanceof PartNotStarted && !error.curable) ||
    error instanceof PartFailed ||
    error instanceof PartLimitExceeded
  );
}

function outcomeOf(error: unknown) {
  if (error instanceof PartCancelled || error instanceof StoreWaitEnded) return 'cancelled';
  if (error instanceof PartLimitExceeded) return error.limit === 'time' ? 'time_limit' : 'memory_limit';
  if (error instanceof PartCrashed || error instanceof PartNotStarted) return 'crashed';
  return error instanceof PartFailed ? 'failed' : 'interrupted';
}

/** Progress of the part's trains as one fraction, written and announced now and then. */
function throttledProgress(
  { store, redis }: WorkerContext,
  { id, index }: PartJob,
  trains: number,
  unrecorded: (error: unknown) => void,
) {
  const fractions = new Map<string, number>();
  let last = Number.NEGATIVE_INFINITY;
  return ({ damageCase, train, fraction }: PartProgress): void => {
    fractions.set(train, fraction);
    const now = performance.now();
    if (now - last < PROGRESS_MILLISECONDS) return;
    last = now;
    const sum = [...fractions.values()].reduce((total, one) => total + one, 0);
    void Promise.all([
      store.saveProgress(id, index, sum / Math.max(trains, 1)),
      announceProgress(redis, id, { part: index, damage_case: damageCase, train, fraction }),
    ]).catch(unrecorded);
  };
}
