import type { Queue } from 'bullmq';
import { type DeliveryJob, deliveryJobId, keptJobs } from '../queue/queues.js';

/**
 * Puts deliveries into the queue; one that is known there, on its way or ended, is not put in again. One that the queue knows but has
 * in no list, because Redis refused it in the middle of an earlier attempt, is taken out first: it would never be delivered.
 */
export async function addDeliveries(
  queue: Queue<DeliveryJob>,
  attempts: number,
  deliveries: readonly DeliveryJob[],
): Promise<void> {
  for (const { subscription, delivery } of deliveries) {
    const job = await queue.getJob(deliveryJobId(subscription, delivery));
    if ((await job?.getState()) === 'unknown') await job?.remove();
  }
  await queue.addBulk(
    deliveries.map((data) => ({
      name: data.type,
      data,
      opts: {
        jobId: deliveryJobId(data.subscription, data.delivery),
        attempts,
        // The worker's own strategy: deliveryPause.
        backoff: { type: 'delivery-pause' },
        ...keptJobs,
      },
    })),
  );
}
