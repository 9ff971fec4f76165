import type { Queue } from 'bullmq';
import { assessmentKeys } from '../assessments/assessment-keys.js';
import type { AssessmentState } from '../assessments/assessment-record.js';
import { enqueueAssessment } from './assessment-queue.js';
import type { AssessmentJob } from './queues.js';
import { settle, type WorkerContext, wantedRecord } from './worker-context.js';

const YOUNG_MILLISECONDS = 10_000;

/**
 * Brings records and queue together where something died between two steps: an accepted assessment without a job that will
 * finish it gets one, and one whose job has failed is recorded as failed.
 */
export async function repairAssessments(context: WorkerContext, queue: Queue<AssessmentJob>): Promise<void> {
  const unfinished: readonly AssessmentState[] = ['queued', 'running'];
  for (const state of unfinished) {
    const list = assessmentKeys.inState(state);
    const now = Date.now();
    const old = await context.redis.zrangebyscore(list, '-inf', now - YOUNG_MILLISECONDS, 'LIMIT', 0, 1000);
    // Accepted by a clock that ran ahead, or has been set back since: nobody would look for it until that hour has come.
    const ahead = await context.redis.zrangebyscore(list, now + YOUNG_MILLISECONDS, '+inf', 'LIMIT', 0, 1000);
    for (const id of [...old, ...ahead]) {
      await repair(context, queue, id).catch((error) => context.log.error({ error, id }, 'not repaired'));
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

async function repair(context: WorkerContext, queue: Queue<AssessmentJob>, id: string): Promise<void> {
  const jobState = await queue.getJobState(id);
  if (jobState === 'failed') return settleFailedJob(context, queue, id);
  if (jobState !== 'completed' && jobState !== 'unknown') return;
  // Read after the job: an assessment reaches its final state before its job does.
  const record = await wantedRecord(context, id);
  if (record === null) return;
  // BullMQ takes no second job beside one that it knows, finished or not.
  await (await queue.getJob(id))?.remove();
  await enqueueAssessment(queue, id, record.priority);
}
