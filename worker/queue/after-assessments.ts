import { setTimeout as pause } from 'node:timers/promises';
import type { Queue } from 'bullmq';
import type { PartPool } from '../part-pool.js';
import type { JobsInHand } from './jobs-in-hand.js';
import type { Patience } from './wait-out-store.js';

const LOOK_MILLISECONDS = 250;

/** Where parts of assessments may stand that are not being computed yet. */
export interface PartsAhead {
  readonly partQueue: Pick<Queue, 'getJobCountByTypes'>;
  readonly inHand: Pick<JobsInHand, 'count'>;
}

/**
 * A worker's pool for work that can wait, such as nightly runs, of which two may meet: of all of it one part at a time is let in, and
 * only when no part of an assessment waits in the queue and this worker has a thread beyond the parts that it has in hand. Let
 * in together, they would stand in the pool and start whenever a thread falls free before the next part has come.
 *
 * @returns makes the pool for one piece of work from how patiently it asks the queue: it must not count as failed because it could
 * not ask
 */
export function afterAssessments(
  pool: Pick<PartPool, 'run' | 'threads'>,
  { partQueue, inHand }: PartsAhead,
): (patiently: Patience) => Pick<PartPool, 'run'> {
  const waiting = () => partQueue.getJobCountByTypes('waiting', 'prioritized');
  let before: Promise<unknown> = Promise.resolve();
  return (patiently) => ({
    run: (scenario, part, options = {}) => {
      const own = before.then(async () => {
        // The queue first: what it hands out while it answers is then in hand.
        while ((await patiently(waiting)) > 0 || inHand.count >= pool.threads) {
          await pause(LOOK_MILLISECONDS, undefined, { signal: options.signal });
        }
        return pool.run(scenario, part, { ...options, giveWay: true });
      });
      before = own.catch(() => {});
      return own;
    },
  });
}
