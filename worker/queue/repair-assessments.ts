import type { Queue } from 'bullmq';
import { assessmentKeys } from '../assessments/assessment-keys.js';
import type { AssessmentState } from '../assessments/assessment-record.js';
import { enqueueAssessment } from './assessment-queue.js';
import type { AssessmentJob, PartJob } from './queues.js';
import { waitsInVain } from './waits-in-vain.js';
import { settle, type WorkerContext, wantedRecord } from './worker-context.js';

const YOUNG_MILLISECONDS = 10_000;

/** Queues of the service that have a part in an assessment. */
export interface RepairedQueues {
  readonly assessments: Queue<AssessmentJob>;
  readonly parts: Queue<PartJob>;
}

/**
 * Brings records and queues together where something died between two steps: an accepted assessment without a job that will
 * finish it gets one, and one whose job has failed is recorded as failed.
 */
export async function repairAssessments(context: WorkerContext, queues: RepairedQueues): Promise<void> {
  const unfinished: readonly AssessmentState[] = ['queued', 'running'];
  for (const state of unfinished) {
    const list = assessmentKeys.inState(state);
    const now = Date.now();
    const old = await context.redis.zrangebyscore(list, '-inf', now - YOUNG_MILLISECONDS);
    // Accepted by a clock that ran ahead, or has been set back since: nobody would look for it until that hour has come.
    const ahead = await context.redis.zrangebyscore(list, now + YOUNG_MILLISECONDS, '+inf');
    for (const id of [...old, ...ahead]) {
      await repair(context, queues, id).catch((error) => context.log.error({ error, id }, 'not repaired'));
    }
  }
}

/** Records an assessment as failed whose job BullMQ has given up. */
export async function settleFailedJob(
  context: WorkerContext,
  queue: Queue<AssessmentJob>,
  id: string,
): Promise<void> {
  const job = await queue.getJob(id);
  if (job !== undefined && (await job.isFailed())) {
    await settle(context, id, { to: 'failed', reason: job.failedReason || 'no reason recorded' });
  }
}

async function repair(
  context: WorkerContext,
  { assessments, parts }: RepairedQueues,
  id: string,
): Promise<void> {
  const jobState = await assessments.getJobState(id);
  if (jobState === 'failed') return settleFailedJob(context, assessments, id);
  const isDead =
    jobState === 'completed' ||
    jobState === 'unknown' ||
    (jobState === 'waiting-children' && (await waitsInVain(context.redis, assessments, parts, id)));
  if (!isDead) return;
  // Read after the job: an assessment reaches its final state before its job does.
  const record = await wantedRecord(context, id);
  if (record === null) return;
  context.log.warn({ id, job: jobState }, 'no job would have finished this assessment: it gets a new one');
  // BullMQ takes no second job beside one that it knows, finished or not. Parts that still wait or run are taken over by the new one.
  await (await assessments.getJob(id))?.remove({ removeChildren: false });
  await enqueueAssessment(assessments, id, record.priority);
}
