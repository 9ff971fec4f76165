import { type Job, type Queue, UnrecoverableError, WaitingChildrenError } from 'bullmq';
import type { AssessmentRecord } from '../assessments/assessment-record.js';
import { gatherParts } from './gather-parts.js';
import { leaveToOwnEngine } from './leave-to-own-engine.js';
import { stopReasons } from './process-part.js';
import { type AssessmentJob, isAlive, jobPriority, keptJobs, type PartJob } from './queues.js';
import { partJobId, raiseParts } from './raise-priority.js';
import { handBack, orHandBack, type Patience, waitOutStore } from './wait-out-store.js';
import { loadScenario, settle, type WorkerContext, wantedRecord } from './worker-context.js';

/**
 * The parent of a flow. It runs twice: first it plans and adds its parts as children, then, when they are done (or one of
 * them has failed), it gathers. Whatever it did before a crash it finds done and does not do again. While Redis cannot serve, it
 * waits.
 *
 * @throws DelayedError when it is for workers of another version
 * @throws UnrecoverableError when a part has failed or the outcome cannot be gathered
 * @throws Error when parts end without a result or the machine refuses a thread, which is repeated with back-off
 * @throws WaitingError when it was handed back, because this worker ends
 */
export async function processAssessment(
  context: WorkerContext,
  partQueue: Queue<PartJob>,
  job: Job<AssessmentJob>,
  token: string,
  signal: AbortSignal,
): Promise<string> {
  const patiently = waitOutStore(context.graceOver, context.log);
  return orHandBack(job, token, () => planOrGather(context, partQueue, job, token, signal, patiently));
}

/** @param afterParts whether all parts that it added have ended within this run */
async function planOrGather(
  context: WorkerContext,
  partQueue: Queue<PartJob>,
  job: Job<AssessmentJob>,
  token: string,
  signal: AbortSignal,
  patiently: Patience,
  afterParts = false,
): Promise<string> {
  const { id } = job.data;
  const { store } = context;
  const record = await patiently(() => wantedRecord(context, id));
  if (record === null) return 'not wanted';
  await patiently(() => leaveToOwnEngine(context.settings, job, record, token));

  const failures = Object.values(await patiently(() => job.getIgnoredChildrenFailures()));
  if (failures.length > 0) {
    await patiently(() => job.removeUnprocessedChildren());
    throw new UnrecoverableError(failures[0]);
  }

  const scenario = await patiently(() => loadScenario(context, id));
  const parts = await patiently(() =>
    store.plan(id, () =>
      context.engine.planAssessment(scenario, context.settings.DECKPACE_TRAINS_PER_PART || undefined),
    ),
  );
  const now = await patiently(() => settle(context, id, { to: 'running' }));
  if (parts === null || now?.state !== 'running') return 'not wanted';

  const finished = await patiently(() => store.finishedParts(id));
  if (finished.size < parts.length) {
    const missing = parts.map((_, index) => index).filter((index) => !finished.has(index));
    const known = await patiently(() => removeDeadParts(partQueue, id, missing));
    await patiently(() => addParts(partQueue, job, record, missing));
    // Whoever raised it before they were added found none to raise; whoever does so from now on finds them.
    const urgency = (await patiently(() => store.record(id)))?.priority ?? record.priority;
    if (known || urgency !== record.priority)
      await patiently(() => raiseParts(partQueue, id, parts.length, urgency));
    if (await patiently(() => job.moveToWaitingChildren(token))) throw new WaitingChildrenError();
    if (afterParts) throw new Error(`parts ${missing.join(', ')} ended without a result`);
    return planOrGather(context, partQueue, job, token, signal, patiently, true);
  }

  const scenarioText = (await patiently(() => store.scenario(id)))?.toString('utf8') ?? '';
  const results = await patiently(() => store.partResults(id));
  const task = { engine: context.engineUrl.href, scenarioText, parts: results };
  const outputs = await gatherParts(context, task, signal).catch((error) => {
    if (!signal.aborted) throw error;
    return signal.reason === stopReasons.cancelled ? null : handBack(job, token);
  });
  if (outputs === null) return 'not wanted';
  await patiently(() => store.saveOutputs(id, outputs));
  const end = await patiently(() => settle(context, id, { to: 'completed' }));
  return end?.state === 'completed' ? 'completed' : 'not wanted';
}

/**
 * A job that ended and left no result, or that stands nowhere in the queue, is in the way: BullMQ would take the part for done, or wait
 * for it for ever.
 *
 * @returns whether there are parts that wait or run: added before, by a run of this job that was cut short
 */
async function removeDeadParts(
  partQueue: Queue<PartJob>,
  id: string,
  missing: readonly number[],
): Promise<boolean> {
  const known = await Promise.all(
    missing.map(async (index) => {
      const job = await partQueue.getJob(partJobId(id, index));
      if (job === undefined) return false;
      const lives = isAlive(await job.getState());
      if (!lives) await job.remove();
      return lives;
    }),
  );
  return known.includes(true);
}

async function addParts(
  partQueue: Queue<PartJob>,
  parent: Job<AssessmentJob>,
  record: AssessmentRecord,
  missing: readonly number[],
): Promise<void> {
  const { id } = record;
  await partQueue.addBulk(
    missing.map((index) => ({
      name: 'part',
      data: { id, index },
      opts: {
        jobId: partJobId(id, index),
        parent: { id, queue: parent.queueQualifiedName },
        continueParentOnFailure: true,
        priority: jobPriority[record.priority],
        attempts: 5,
        backoff: { type: 'exponential', delay: 1000, jitter: 0.5 },
        ...keptJobs,
      },
    })),
  );
}
