import { setTimeout as pause } from 'node:timers/promises';
import { type Job, WaitingError } from 'bullmq';
import type { Logger } from '../service/log.js';
import { isRedisUnavailable } from '../service/redis.js';

const PAUSE_MILLISECONDS = 1000;

/** Runs a step of the store, again and again while Redis cannot serve it. */
export type Patience = <T>(step: () => Promise<T>) => Promise<T>;

/** The store still did not serve when the wait was ended. */
export class StoreWaitEnded extends Error {
  override readonly name = 'StoreWaitEnded';
}

/**
 * That Redis is full, loading or without its replicas says nothing about the work in hand: a step of the store is repeated until it
 * is served, and uses up no attempt of its job. Steps have to be such that a repetition changes nothing.
 *
 * @param signal ends the wait: the step then fails with StoreWaitEnded
 */
export function waitOutStore(signal: AbortSignal, log: Logger): Patience {
  return async (step) => {
    for (let refusals = 0; ; refusals += 1) {
      try {
        return await step();
      } catch (error) {
        if (!isRedisUnavailable(error)) throw error;
        if (signal.aborted) throw new StoreWaitEnded('the store did not serve', { cause: error });
        if (refusals === 0) log.warn({ error }, 'the store does not serve: repeated until it does');
      }
      // An end of the wait is looked at after one more try.
      await pause(PAUSE_MILLISECONDS, undefined, { signal }).catch(() => {});
    }
  };
}

/**
 * Does the work of a job, and gives the job back to the queue where the wait for the store was ended.
 *
 * @throws WaitingError when it went back
 */
export async function orHandBack<T>(job: Job, token: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof StoreWaitEnded) return handBack(job, token);
    throw error;
  }
}

/**
 * Gives a job back to the queue, for any worker to take. Where Redis refuses even that, it is found when its lock runs out.
 *
 * @throws WaitingError always: that is how BullMQ learns of it
 */
export async function handBack(job: Job, token: string): Promise<never> {
  try {
    await job.moveToWait(token);
  } catch (error) {
    if (!isRedisUnavailable(error)) throw error;
  }
  throw new WaitingError();
}
