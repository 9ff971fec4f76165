import type { Job, Queue } from 'bullmq';
import type { Redis } from 'ioredis';
import { redisMilliseconds } from '../service/redis-time.js';

const WOKEN_AT_ONCE = 500;
/** BullMQ orders what is put off by the time at which it is due, in milliseconds times this. */
const SCORE_PER_MILLISECOND = 0x1000;

/**
 * Gives jobs back to their queue that are put off for longer than any is: a worker whose clock was ahead did so, and they would rest
 * until that time has come. A job that is woken too early is put off again, or tried.
 *
 * @param longestMilliseconds for which a job of the queue is put off at most
 * @returns ids of those that were woken, at most 500
 */
export async function wakeOverslept(
  redis: Redis,
  queue: Queue,
  longestMilliseconds: number,
): Promise<readonly string[]> {
  const latest = (await redisMilliseconds(redis)) + longestMilliseconds;
  const ids = await redis.zrangebyscore(
    queue.toKey('delayed'),
    latest * SCORE_PER_MILLISECOND,
    '+inf',
    'LIMIT',
    0,
    WOKEN_AT_ONCE,
  );
  const woken: string[] = [];
  for (const id of ids) {
    const job = await queue.getJob(id);
    if (job !== undefined && (await wake(job))) woken.push(id);
  }
  return woken;
}

async function wake(job: Job): Promise<boolean> {
  try {
    await job.promote();
    return true;
  } catch (error) {
    // Taken or removed since, it is none of those any more.
    if (await job.isDelayed()) throw error;
    return false;
  }
}
