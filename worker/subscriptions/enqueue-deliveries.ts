import type { Queue } from 'bullmq';
import { type DeliveryJob, keptJobs } from '../queue/queues.js';
import type { EventType } from './subscription.js';
import type { SubscriptionStore } from './subscription-store.js';

/** Something that subscribers are told. */
export interface Announcement {
  readonly type: EventType;
  /** The same for the same event, so that telling it twice adds nothing. */
  readonly delivery: string;
  /** Asked for only when somebody wants to know. */
  readonly body: () => Promise<string>;
}

/** One delivery job per subscription that wants the event. */
export async function enqueueDeliveries(
  store: SubscriptionStore,
  queue: Queue<DeliveryJob>,
  attempts: number,
  { type, delivery, body: write }: Announcement,
): Promise<void> {
  const wanting = (await store.list()).filter((subscription) => subscription.events.includes(type));
  if (wanting.length === 0) return;
  const body = await write();
  await queue.addBulk(
    wanting.map(({ id }) => ({
      name: type,
      data: { subscription: id, delivery, type, body },
      opts: {
        jobId: `${id}-${delivery}`,
        attempts,
        backoff: { type: 'exponential', delay: 1000, jitter: 0.3 },
        ...keptJobs,
      },
    })),
  );
}
