import { DelayedError, type Job, type Queue } from 'bullmq';
import { type DeliveryJob, deliveryJobId, isAlive } from '../queue/queues.js';

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
  // Of a clock that was set back meanwhile nothing is known but that the half minute must not become an hour.
  const age = Math.abs(now - job.timestamp);
  if (!lifts && age > HELD_MILLISECONDS) return;
  const states = await Promise.all(
    after.map((delivery) => queue.getJobState(deliveryJobId(subscription, delivery))),
  );
  if (!states.some(isAlive)) return;
  return putOff(job, token, now);
}

/**
 * Puts a delivery off: the longer it has waited, the later it is looked at again.
 *
 * @throws DelayedError always
 */
export async function putOff(
  job: Pick<Job<DeliveryJob>, 'timestamp' | 'moveToDelayed'>,
  token: string,
  now = Date.now(),
): Promise<never> {
  const pause = Math.max(LOOK_AGAIN_MILLISECONDS, (now - job.timestamp) / 10);
  await job.moveToDelayed(now + Math.round(Math.min(pause, LONGEST_LOOK_MILLISECONDS)), token);
  throw new DelayedError();
}
