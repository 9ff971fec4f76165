import type { Queue } from 'bullmq';
import type { DeliveryJob } from '../queue/queues.js';
import type { Logger } from '../service/log.js';
import { addDeliveries } from './add-deliveries.js';
import type { EventType } from './subscription.js';
import type { SubscriptionStore } from './subscription-store.js';

/** Something that subscribers are told. */
export interface Announcement {
  readonly type: EventType;
  /** The same for the same event, so that telling it twice adds nothing. */
  readonly delivery: string;
  /** Deliveries that tell what came before; absent: nothing did. */
  readonly after?: readonly string[];
  /** Asked for only when somebody wants to know. */
  readonly body: () => Promise<string>;
}

/** One delivery job per subscription that wants the event. A subscription that cannot be read keeps no other from being told. */
export async function enqueueDeliveries(
  store: SubscriptionStore,
  queue: Queue<DeliveryJob>,
  attempts: number,
  log: Pick<Logger, 'error'>,
  { type, delivery, after = [], body: write }: Announcement,
): Promise<void> {
  const { subscriptions, unreadable } = await store.all();
  if (unreadable.length > 0)
    log.error({ subscriptions: unreadable, delivery }, 'subscriptions that cannot be read are not told');
  const wanting = subscriptions.filter((subscription) => subscription.events.includes(type));
  if (wanting.length === 0) return;
  const body = await write();
  await addDeliveries(
    queue,
    attempts,
    wanting.map(({ id }) => ({ subscription: id, delivery, type, body, after })),
  );
}
