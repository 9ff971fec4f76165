import type { Queue } from 'bullmq';
import type { Redis } from 'ioredis';
import { assessmentKeys } from '../assessments/assessment-keys.js';
import type { AssessmentState } from '../assessments/assessment-record.js';
import { enqueueAssessment } from './assessment-queue.js';
import type { AssessmentJob, PartJob } from './queues.js';
import { waitsInVain } from './waits-in-vain.js';
import { settle, type WorkerContext, wantedRecord } from './worker-context.js';

const YOUNG_MILLISECONDS = 10_000;
/** Of each state; a list of 128 or fewer comes whole. */
const LOOKED_AT_ONCE = 500;
const PLACE_KEPT_SECONDS = 3600;

type RepairContext = Pick<WorkerContext, 'redis' | 'store' | 'settings' | 'log'>;

/** Queues of the service that have a part in an assessment. */
export interface RepairedQueues {
  readonly assessments: Queue<AssessmentJob>;
  readonly parts: Queue<PartJob>;
}

/**
 * Brings records and queues together where something died between two steps: an accepted assessment without a job that will
 * finish it gets one, and one whose job has failed is recorded as failed. It looks at some hundreds and goes on with the next where the
 * last repair ended, on whichever worker.
 */
export async function repairAssessments(context: RepairContext, queues: RepairedQueues): Promise<void> {
  const unfinished: readonly AssessmentState[] = ['queued', 'running'];
  for (const state of unfinished) {
    for (const id of await nextOf(context.redis, state)) {
      await repair(context, queues, id).catch((error) => context.log.error({ error, id }, 'not repaired'));
    }
  }
}

/** The next of a state, in turn: those that somebody may be about to put into the queue are left out. */
async function nextOf(redis: Redis, state: AssessmentState): Promise<ReadonlySet<string>> {
  const place = assessmentKeys.repaired(state);
  const cursor = (await redis.get(place)) ?? '0';
  const [next, flat] = await redis.zscan(assessmentKeys.inState(state), cursor, 'COUNT', LOOKED_AT_ONCE);
  await redis.set(place, next, 'EX', PLACE_KEPT_SECONDS);
  const now = Date.now();
  const ids = new Set<string>();
  for (let index = 0; index < flat.length; index += 2) {
    // Accepted by a clock that ran ahead, or has been set back since, it is old as well: nobody else would look for it.
    const isYoung = Math.abs(now - Number(flat[index + 1])) < YOUNG_MILLISECONDS;
    if (!isYoung) ids.add(flat[index] ?? '');
  }
  return ids;
}

/** Records an assessment as failed whose job BullMQ has given up. */
export async function settleFailedJob(
  context: RepairContext,
  queue: Queue<AssessmentJob>,
  id: string,
): Promise<void> {
  const job = await queue.getJob(id);
  if (job !== undefined && (await job.isFailed())) {
    await settle(context, id, { to: 'failed', reason: job.failedReason || 'no reason recorded' });
  }
}

async function repair(
  context: RepairContext,
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
