import type { Queue } from 'bullmq';
import type { Redis } from 'ioredis';
import type { DeliveryJob } from '../queue/queues.js';
import { restrictionFrom } from '../restrictions/restriction.js';
import { type RestrictionEvent, restrictionEvent } from '../restrictions/restriction-event.js';
import { restrictionKeys } from '../restrictions/restriction-keys.js';
import { RestrictionLog } from '../restrictions/restriction-log.js';
import { enqueueDeliveries } from './enqueue-deliveries.js';
import type { EventType } from './subscription.js';
import type { SubscriptionStore } from './subscription-store.js';

/**
 * Turns every restriction event into one delivery job per subscription that wants it. An event leaves the outbox only after
 * its jobs are in the queue; jobs carry fixed ids, so that a repetition adds none.
 */
export async function emptyOutbox(
  redis: Redis,
  store: SubscriptionStore,
  queue: Queue<DeliveryJob>,
  attempts: number,
): Promise<void> {
  for (;;) {
    const text = await redis.lindex(restrictionKeys.outbox, 0);
    if (text === null) return;
    const event = restrictionEvent.parse(JSON.parse(text));
    const type: EventType = `restriction.${event.type}`;
    const delivery = (sequence: number) => `${event.restriction}-${sequence}`;
    await enqueueDeliveries(store, queue, attempts, {
      type,
      delivery: delivery(event.sequence),
      after: Array.from({ length: event.sequence - 1 }, (_, index) => delivery(index + 1)),
      body: () => bodyOf(redis, event, type),
    });
    await redis.lrem(restrictionKeys.outbox, 1, text);
  }
}

async function bodyOf(redis: Redis, event: RestrictionEvent, type: EventType): Promise<string> {
  const history = await new RestrictionLog(redis).history(event.restriction);
  const data = restrictionFrom(history.slice(0, event.sequence));
  return JSON.stringify({ type, timestamp: event.at, data });
}
