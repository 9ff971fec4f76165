import { type Job, type Queue, UnrecoverableError, WaitingChildrenError } from 'bullmq';
import type { AssessmentPart } from '../assessment.js';
import type { AssessmentRecord } from '../assessments/assessment-record.js';
import { type AssessmentJob, jobPriority, keptJobs, type PartJob } from './queues.js';
import { partJobId } from './raise-priority.js';
import { handBack, type Patience, StoreWaitEnded, waitOutStore } from './wait-out-store.js';
import {
  assertSameEngine,
  loadScenario,
  settle,
  type WorkerContext,
  wantedRecord,
} from './worker-context.js';

/**
 * The parent of a flow. It runs twice: first it plans and adds its parts as children, then, when they are done (or one of
 * them has failed), it gathers. Whatever it did before a crash it finds done and does not do again. While Redis cannot serve, it
 * waits.
 *
 * @throws UnrecoverableError when a part has failed or the outcome cannot be gathered
 * @throws WaitingError when it was handed back, because this worker ends
 */
export async function processAssessment(
  context: WorkerContext,
  partQueue: Queue<PartJob>,
  job: Job<AssessmentJob>,
  token: string,
): Promise<string> {
  try {
    return await planOrGather(context, partQueue, job, token, waitOutStore(context.graceOver, context.log));
  } catch (error) {
    if (error instanceof StoreWaitEnded) return handBack(job, token);
    throw error;
  }
}

async function planOrGather(
  context: WorkerContext,
  partQueue: Queue<PartJob>,
  job: Job<AssessmentJob>,
  token: string,
  patiently: Patience,
): Promise<string> {
  const { id } = job.data;
  const { store } = context;
  const record = await patiently(() => wantedRecord(context, id));
  if (record === null) return 'not wanted';
  assertSameEngine(record);

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
  await patiently(() => settle(context, id, { to: 'running' }));

  const finished = await patiently(() => store.finishedParts(id));
  if (finished.size < parts.length) {
    await patiently(() => addParts(partQueue, job, record, parts, finished));
    if (await patiently(() => job.moveToWaitingChildren(token))) throw new WaitingChildrenError();
    return planOrGather(context, partQueue, job, token, patiently);
  }

  const scenarioText = (await patiently(() => store.scenario(id)))?.toString('utf8') ?? '';
  const results = await patiently(() => store.partResults(id));
  const outputs = await context.gather
    .run({ engine: context.engineUrl.href, scenarioText, parts: results })
    .catch((error) => {
      throw new UnrecoverableError(
        `the parts could not be gathered: ${error instanceof Error ? error.message : error}`,
      );
    });
  await patiently(() => store.saveOutputs(id, outputs));
  await patiently(() => settle(context, id, { to: 'completed' }));
  return 'completed';
}

async function addParts(
  partQueue: Queue<PartJob>,
  parent: Job<AssessmentJob>,
  record: AssessmentRecord,
  parts: readonly AssessmentPart[],
  finished: ReadonlySet<number>,
): Promise<void> {
  const { id } = record;
  const missing = parts.map((_, index) => index).filter((index) => !finished.has(index));
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
