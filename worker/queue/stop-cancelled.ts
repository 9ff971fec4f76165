import type { Worker } from 'bullmq';
import { assessmentKeys } from '../assessments/assessment-keys.js';
import { keepAsking } from '../service/redis.js';
import { stopReasons } from './process-part.js';
import type { PartJob } from './queues.js';
import { type WorkerContext, wantedRecord } from './worker-context.js';

const LOOK_MILLISECONDS = 1000;

/**
 * Ends running parts of cancelled assessments on this worker: at once when the message arrives, within a second when it got
 * lost.
 *
 * @returns ends the watch
 */
export async function stopCancelledParts(
  context: WorkerContext,
  worker: Worker<PartJob>,
): Promise<() => Promise<void>> {
  const running = new Map<string, string>();
  worker.on('active', (job) => {
    if (job.id !== undefined) running.set(job.id, job.data.id);
  });
  const forget = (job: { id?: string | undefined } | undefined) => {
    if (job?.id !== undefined) running.delete(job.id);
  };
  worker.on('completed', forget);
  worker.on('failed', forget);

  const stop = (id: string) => {
    for (const [jobId, assessment] of running) {
      if (assessment !== id) continue;
      // Where it is not cancelled it is not here any more: what goes back to the queue is announced by no event.
      if (!worker.cancelJob(jobId, stopReasons.cancelled)) running.delete(jobId);
    }
  };
  const subscriber = context.redis.duplicate();
  subscriber.on('error', (error) => context.log.warn({ error }, 'connection for cancellations'));
  subscriber.on('message', (_channel, id) => stop(id));
  await subscriber.subscribe(assessmentKeys.cancelled);
  const stopAsking = keepAsking(subscriber);

  const timer = setInterval(() => {
    for (const id of new Set(running.values())) {
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
