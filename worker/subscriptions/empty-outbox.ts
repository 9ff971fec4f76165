import { isDeepStrictEqual } from 'node:util';
import type { Queue } from 'bullmq';
import type { Redis } from 'ioredis';
import type { DeliveryJob } from '../queue/queues.js';
import { BrokenHistoryError, restrictionFrom } from '../restrictions/restriction.js';
import type { RestrictionEvent } from '../restrictions/restriction-event.js';
import { RestrictionLog, UnknownRestrictionError } from '../restrictions/restriction-log.js';
import { storedEvent } from '../restrictions/stored-event.js';
import type { Logger } from '../service/log.js';
import { enqueueDeliveries } from './enqueue-deliveries.js';
import { Outbox } from './outbox.js';
import type { EventType } from './subscription.js';
import type { SubscriptionStore } from './subscription-store.js';

/** A restriction is drafted, then approved. */
const APPROVAL_SEQUENCE = 2;

/**
 * Turns every restriction event into one delivery job per subscription that wants it. An event leaves the outbox only after
 * its jobs are in the queue; jobs carry fixed ids, so that a repetition adds none. One that cannot be told, because it or its
 * restriction's history cannot be read, is set aside with what may only be heard after it: it must not keep the others from being told.
 */
export async function emptyOutbox(
  redis: Redis,
  store: SubscriptionStore,
  queue: Queue<DeliveryJob>,
  attempts: number,
  log: Pick<Logger, 'error'>,
): Promise<void> {
  const outbox = new Outbox(redis);
  for (;;) {
    const text = await outbox.first();
    if (text === null) return;
    const fault = await faultOf(text, outbox, (event) => tell(redis, store, queue, attempts, log, event));
    if (fault === null) await outbox.told(text);
    else if (await outbox.setAside(text)) log.error({ event: text, fault }, 'restriction event set aside');
  }
}

/** Why an event cannot be told; null once it is. */
async function faultOf(
  text: string,
  outbox: Outbox,
  tellOf: (event: RestrictionEvent) => Promise<void>,
): Promise<string | null> {
  const event = storedEvent(text);
  if (event === null) return 'it cannot be read';
  if (await outbox.isHeldUp(event)) return 'one that has to be told before it is set aside';
  try {
    await tellOf(event);
    return null;
  } catch (error) {
    if (error instanceof BrokenHistoryError || error instanceof UnknownRestrictionError) return error.message;
    throw error;
  }
}

function tell(
  redis: Redis,
  store: SubscriptionStore,
  queue: Queue<DeliveryJob>,
  attempts: number,
  log: Pick<Logger, 'error'>,
  event: RestrictionEvent,
): Promise<void> {
  const type: EventType = `restriction.${event.type}`;
  return enqueueDeliveries(store, queue, attempts, log, {
    type,
    delivery: deliveryOf(event.restriction, event.sequence),
    after: deliveriesBefore(event),
    body: () => bodyOf(redis, event, type),
  });
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
  if (!isDeepStrictEqual(history[event.sequence - 1], event))
    throw new BrokenHistoryError(
      `restriction ${event.restriction}: entry ${event.sequence} is not what happened`,
    );
  const data = restrictionFrom(history.slice(0, event.sequence));
  return JSON.stringify({ type, timestamp: event.at, data });
}
