import { type Queue, Worker } from 'bullmq';
import { pauseOnError } from '../queue/pause-on-error.js';
import { type DeliveryJob, queueNames, queuePrefix } from '../queue/queues.js';
import { orHandBack, waitOutStore } from '../queue/wait-out-store.js';
import type { WorkerContext } from '../queue/worker-context.js';
import { awaitTurn } from './await-turn.js';
import { deliver } from './deliver.js';
import { deliveryPause } from './delivery-pause.js';
import { DeliveryShares } from './delivery-shares.js';
import { emptyOutbox } from './empty-outbox.js';
import { SubscriptionStore } from './subscription-store.js';

const LOOK_MILLISECONDS = 1000;
/** They wait for others and compute nothing. */
const DELIVERIES_AT_ONCE = 100;

/** Tells subscribers of restriction events. The queue stays the caller's. @returns ends it after the deliveries under way */
export async function runDeliveries(
  { redis, settings, log, graceOver }: WorkerContext,
  queue: Queue<DeliveryJob>,
): Promise<() => Promise<void>> {
  const store = new SubscriptionStore(redis);
  const options = { connection: redis, prefix: queuePrefix };
  const shares = new DeliveryShares();
  const patiently = waitOutStore(graceOver, log);
  const worker = new Worker<DeliveryJob>(
    queueNames.deliveries,
    (job, token = '') =>
      orHandBack(job, token, async () => {
        await patiently(() => awaitTurn(queue, job, token));
        return shares.within(job, token, () => deliver(store, settings, job, patiently));
      }),
    {
      ...options,
      concurrency: DELIVERIES_AT_ONCE,
      maxStalledCount: settings.DECKPACE_CRASHES_PER_PART,
      settings: { backoffStrategy: (attemptsMade) => deliveryPause(attemptsMade) },
    },
  );
  queue.on('error', (error) => log.warn({ error }, 'deliveries'));
  pauseOnError(worker, log);
  worker.on('failed', (job, error) => log.warn({ job: job?.id, reason: error.message }, 'delivery failed'));

  let looking = false;
  const look = () => {
    if (looking) return;
    looking = true;
    emptyOutbox(redis, store, queue, settings.DECKPACE_WEBHOOK_ATTEMPTS, log)
      .catch((error) => log.error({ error }, 'restriction events not handed to the queue'))
      .finally(() => {
        looking = false;
      });
  };
  const timer = setInterval(look, LOOK_MILLISECONDS);
  look();
  return async () => {
    clearInterval(timer);
    await worker.close();
  };
}
