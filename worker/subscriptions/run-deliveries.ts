import { Queue, Worker } from 'bullmq';
import type { Redis } from 'ioredis';
import { type DeliveryJob, queueNames, queuePrefix } from '../queue/queues.js';
import type { Logger } from '../service/log.js';
import type { Settings } from '../service/settings.js';
import { awaitTurn } from './await-turn.js';
import { deliver } from './deliver.js';
import { deliveryPause } from './delivery-pause.js';
import { emptyOutbox } from './empty-outbox.js';
import { SubscriptionStore } from './subscription-store.js';

const LOOK_MILLISECONDS = 1000;
const DELIVERIES_AT_ONCE = 20;

/** Tells subscribers of restriction events. @returns ends it after the deliveries under way */
export async function runDeliveries(
  redis: Redis,
  settings: Settings,
  log: Logger,
): Promise<() => Promise<void>> {
  const store = new SubscriptionStore(redis);
  const options = { connection: redis, prefix: queuePrefix };
  const queue = new Queue<DeliveryJob>(queueNames.deliveries, options);
  const worker = new Worker<DeliveryJob>(
    queueNames.deliveries,
    async (job, token) => {
      await awaitTurn(queue, job, token ?? '');
      return deliver(store, settings, job);
    },
    {
      ...options,
      concurrency: DELIVERIES_AT_ONCE,
      settings: { backoffStrategy: (attemptsMade) => deliveryPause(attemptsMade) },
    },
  );
  queue.on('error', (error) => log.warn({ error: error.message }, 'deliveries'));
  worker.on('error', (error) => log.warn({ error: error.message }, 'deliveries'));
  worker.on('failed', (job, error) => log.warn({ job: job?.id, reason: error.message }, 'delivery failed'));

  let looking = false;
  const look = () => {
    if (looking) return;
    looking = true;
    emptyOutbox(redis, store, queue, settings.DECKPACE_WEBHOOK_ATTEMPTS)
      .catch((error) => log.error({ error: String(error) }, 'restriction events not handed to the queue'))
      .finally(() => {
        looking = false;
      });
  };
  const timer = setInterval(look, LOOK_MILLISECONDS);
  look();
  return async () => {
    clearInterval(timer);
    await worker.close();
    await queue.close();
  };
}
