import { DelayedError, type Job, type Queue } from 'bullmq';
import { type DeliveryJob, deliveryJobId } from '../queue/queues.js';

const HELD_MILLISECONDS = 30_000;
const LOOK_AGAIN_MILLISECONDS = 250;
const LONGEST_LOOK_MILLISECONDS = 60_000;

/**
 * Puts a delivery off while one that should come before it is still on its way to the same subscriber: half a minute at most,
 * because what a receiver goes on refusing must not keep a restriction from it; but without an end where the delivery lifts one.
 *
 * @throws DelayedError when it has been put off
 */
export async function awaitTurn(
  queue: Pick<Queue, 'getJobState'>,
  job: Pick<Job<DeliveryJob>, 'data' | 'timestamp' | 'moveToDelayed'>,
  token: string,
  now = Date.now(),
): Promise<void> {
  const { subscription, type, after = [] } = job.data;
  const lifts = type === 'restriction.withdrawn' || type === 'restriction.superseded';
  const age = now - job.timestamp;
  if (!lifts && age > HELD_MILLISECONDS) return;
  const states = await Promise.all(
    after.map((delivery) => queue.getJobState(deliveryJobId(subscription, delivery))),
  );
  if (states.every((state) => state === 'completed' || state === 'failed' || state === 'unknown')) return;
  await job.moveToDelayed(lookAgainAt(job, now), token);
  throw new DelayedError();
}

/** When a delivery that is put off is looked at again: the longer it has waited, the later. */
export function lookAgainAt({ timestamp }: Pick<Job<DeliveryJob>, 'timestamp'>, now = Date.now()): number {
  const pause = Math.max(LOOK_AGAIN_MILLISECONDS, (now - timestamp) / 10);
  return now + Math.round(Math.min(pause, LONGEST_LOOK_MILLISECONDS));
}
