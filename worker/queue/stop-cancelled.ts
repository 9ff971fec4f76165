import type { Worker } from 'bullmq';
import { assessmentKeys } from '../assessments/assessment-keys.js';
import { keepAsking } from '../service/redis.js';
import type { JobsInHand } from './jobs-in-hand.js';
import { stopReasons } from './process-part.js';
import { type WorkerContext, wantedRecord } from './worker-context.js';

const LOOK_MILLISECONDS = 1000;

/** Work that can be cancelled: the BullMQ worker that does it, and what it has in hand. */
export interface CancellableWork {
  readonly worker: Pick<Worker, 'cancelJob'>;
  readonly inHand: Pick<JobsInHand, 'jobs'>;
}

/**
 * Ends what this worker does for cancelled assessments: at once when the message arrives, within a second when it got lost.
 *
 * @returns ends the watch
 */
export async function stopCancelled(
  context: WorkerContext,
  works: readonly CancellableWork[],
): Promise<() => Promise<void>> {
  const stop = (id: string) => {
    for (const { worker, inHand } of works)
      for (const { job, assessment } of inHand.jobs)
        if (assessment === id) worker.cancelJob(job, stopReasons.cancelled);
  };

  const subscriber = context.redis.duplicate();
  subscriber.on('error', (error) => context.log.warn({ error }, 'connection for cancellations'));
  subscriber.on('message', (_channel, id) => stop(id));
  await subscriber.subscribe(assessmentKeys.cancelled);
  const stopAsking = keepAsking(subscriber);

  const timer = setInterval(() => {
    for (const id of new Set(
      works.flatMap(({ inHand }) => inHand.jobs.map(({ assessment }) => assessment)),
    )) {
      wantedRecord(context, id).then(
        (record) => {
          if (record === null) stop(id);
        },
        (error) => context.log.warn({ error, id }, 'cancellation not checked'),
      );
    }
  }, LOOK_MILLISECONDS);

  return async () => {
    clearInterval(timer);
    stopAsking();
    subscriber.disconnect();
  };
}
