import { setTimeout as pause } from 'node:timers/promises';
import type { Queue } from 'bullmq';
import type { PartPool } from '../part-pool.js';
import type { Patience } from './wait-out-store.js';

const LOOK_MILLISECONDS = 250;

/**
 * A worker's pool for work that can wait: a part of it starts only when no part of an assessment waits, in the queue or in the
 * pool. The queue is asked because the pool sees of it only as many parts as it has threads.
 *
 * @param partQueue where parts of assessments wait
 * @param patiently how the queue is asked: work must not count as failed because it could not be
 */
export function afterAssessments(
  pool: Pick<PartPool, 'run'>,
  partQueue: Pick<Queue, 'getJobCountByTypes'>,
  patiently: Patience,
): Pick<PartPool, 'run'> {
  return {
    run: async (scenario, part, options = {}) => {
      const waiting = () => partQueue.getJobCountByTypes('waiting', 'prioritized');
      while ((await patiently(waiting)) > 0) {
        await pause(LOOK_MILLISECONDS, undefined, { signal: options.signal });
      }
      return pool.run(scenario, part, { ...options, giveWay: true });
    },
  };
}
