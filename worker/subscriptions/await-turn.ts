import { DelayedError, type Job, type Queue } from 'bullmq';
import { type DeliveryJob, deliveryJobId } from '../queue/queues.js';

const HELD_MILLISECONDS = 30_000;
const LOOK_AGAIN_MILLISECONDS = 250;

/**
 * Puts a delivery off while an earlier one of the same restriction is still on its way to the same subscriber, for half a
 * minute at most: an event that a receiver goes on refusing must not keep the later ones from it.
 *
 * @throws DelayedError when it has been put off
 */
export async function awaitTurn(
  queue: Pick<Queue, 'getJobState'>,
  job: Pick<Job<DeliveryJob>, 'data' | 'timestamp' | 'moveToDelayed'>,
  token: string,
  now = Date.now(),
): Promise<void> {
  const { subscription, after = [] } = job.data;
  if (now - job.timestamp > HELD_MILLISECONDS) return;
  const states = await Promise.all(
    after.map((delivery) => queue.getJobState(deliveryJobId(subscription, delivery))),
  );
  if (states.every((state) => state === 'completed' || state === 'failed' || state === 'unknown')) return;
  await job.moveToDelayed(now + LOOK_AGAIN_MILLISECONDS, token);
  throw new DelayedError();
}
