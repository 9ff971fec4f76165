import { Queue } from 'bullmq';
import { engineName } from '../engine-version.js';
import { keepRegression, type RegressionRecord, recordOf } from '../regression/regression-record.js';
import { loadRegressionSet, regressionFolder } from '../regression/regression-set.js';
import { runRegression } from '../regression/run-regression.js';
import { enqueueDeliveries } from '../subscriptions/enqueue-deliveries.js';
import { SubscriptionStore } from '../subscriptions/subscription-store.js';
import { type DeliveryJob, queueNames, queuePrefix } from './queues.js';
import { waitOutStore } from './wait-out-store.js';
import type { WorkerContext } from './worker-context.js';

/**
 * Runs the regression set on this worker's threads, one part at a time, each only when no part of an assessment waits: one after an
 * event waits for one part at most. Keeps the result; subscribers of `regression.changed` are told when a scenario does not agree
 * with its baseline. While Redis cannot serve, it waits.
 *
 * @param signal this worker ends: nothing is kept, and the run rejects
 */
export async function runNightlyRegression(context: WorkerContext, signal: AbortSignal): Promise<void> {
  const { redis, settings, log, spareParts } = context;
  const patiently = waitOutStore(signal, log);
  const set = await loadRegressionSet(regressionFolder(), settings.DECKPACE_NIGHTLY_FILTER ?? '');
  const run = await runRegression(set, { threads: 1, pool: spareParts(patiently), signal });
  const record = recordOf(run, engineName(), new Date());
  await patiently(() => keepRegression(redis, record));
  const { passed, verdicts, seconds, disagreeing } = record;
  log[passed ? 'info' : 'error']({ passed, verdicts, seconds, disagreeing }, 'nightly regression');
  if (!passed) await patiently(() => announce(context, record));
}

async function announce({ redis, settings, log }: WorkerContext, record: RegressionRecord): Promise<void> {
  const queue = new Queue<DeliveryJob>(queueNames.deliveries, { connection: redis, prefix: queuePrefix });
  try {
    const { at, engine, verdicts, disagreeing, markdown } = record;
    const type = 'regression.changed';
    const data = { engine, verdicts, disagreeing, markdown };
    await enqueueDeliveries(new SubscriptionStore(redis), queue, settings.DECKPACE_WEBHOOK_ATTEMPTS, log, {
      type,
      // Colons may not stand in the id of a job.
      delivery: `regression-${Date.parse(at)}`,
      body: async () => JSON.stringify({ type, timestamp: at, data }),
    });
  } finally {
    await queue.close();
  }
}
