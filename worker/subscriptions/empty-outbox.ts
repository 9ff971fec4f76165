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

/** A restriction is drafted, then approved. */
const APPROVAL_SEQUENCE = 2;

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
    await enqueueDeliveries(store, queue, attempts, {
      type,
      delivery: deliveryOf(event.restriction, event.sequence),
      after: deliveriesBefore(event),
      body: () => bodyOf(redis, event, type),
    });
    await redis.lrem(restrictionKeys.outbox, 1, text);
  }
}

function deliveryOf(restriction: string, sequence: number): string {
  return `${restriction}-${sequence}`;
}

/** Those of the same restriction, and of the successor that takes its place: nobody may hear of the end of the old one first. */
function deliveriesBefore(event: RestrictionEvent): readonly string[] {
  const own = Array.from({ length: event.sequence - 1 }, (_, index) =>
    deliveryOf(event.restriction, index + 1),
  );
  return event.type === 'superseded' ? [...own, deliveryOf(event.successor, APPROVAL_SEQUENCE)] : own;
}

async function bodyOf(redis: Redis, event: RestrictionEvent, type: EventType): Promise<string> {
  const history = await new RestrictionLog(redis).history(event.restriction);
  const data = restrictionFrom(history.slice(0, event.sequence));
  return JSON.stringify({ type, timestamp: event.at, data });
}
