import { randomUUID } from 'node:crypto';
import { hostname } from 'node:os';
import { Queue, Worker } from 'bullmq';
import { type AssessmentOutputs, AssessmentStore } from '../assessments/assessment-store.js';
import { compiledFile } from '../compiled-file.js';
import { createPartPool } from '../part-pool.js';
import type { Logger } from '../service/log.js';
import { connectForWork } from '../service/redis.js';
import type { Settings } from '../service/settings.js';
import { announceWorker, withdrawWorker } from '../service/worker-presence.js';
import { runDeliveries } from '../subscriptions/run-deliveries.js';
import { TaskThreads } from '../threads/task-threads.js';
import { afterAssessments } from './after-assessments.js';
import { openAssessmentQueue } from './assessment-queue.js';
import type { EngineModule } from './engine-module.js';
import type { GatherReport, GatherTask } from './gather-thread.js';
import { JobsInHand } from './jobs-in-hand.js';
import { pauseOnError } from './pause-on-error.js';
import { processAssessment } from './process-assessment.js';
import { processPart, stopReasons } from './process-part.js';
import { type AssessmentJob, type DeliveryJob, type PartJob, queueNames, queuePrefix } from './queues.js';
import { settleFailedJob } from './repair-assessments.js';
import { runSchedules } from './schedules.js';
import { stopCancelled } from './stop-cancelled.js';
import type { WorkerContext } from './worker-context.js';

const PRESENCE_MILLISECONDS = 5000;
/** Parents mostly wait: planning is short, gathering has a thread of its own. */
const ASSESSMENTS_AT_ONCE = 4;

/**
 * Starts one worker: takes assessments and parts from the queue until it is closed.
 *
 * @returns close: finishes running parts within the grace period, hands back what is not finished, then ends
 */
export async function runWorker(
  settings: Settings,
  log: Logger,
): Promise<{ readonly close: () => Promise<void> }> {
  const redis = connectForWork(settings.REDIS_URL, (error) => log.warn({ error: error.message }, 'redis'));
  await redis.connect();
  const graceOver = new AbortController();
  const onThreadFault = (error: Error): void => log.error({ error }, 'thread ended');
  const engineUrl = new URL(settings.DECKPACE_ENGINE ?? compiledFile('worker/engine.js'));
  const gather = new TaskThreads<GatherTask, AssessmentOutputs, GatherReport>({
    module: compiledFile('worker/queue/gather-thread.js'),
    threads: 1,
    resourceLimits: { maxOldGenerationSizeMb: settings.DECKPACE_PART_MEGABYTES },
    onFault: onThreadFault,
  });
  const pool = createPartPool({
    threads: settings.DECKPACE_THREADS,
    engine: engineUrl,
    maxSecondsPerPart: settings.DECKPACE_PART_SECONDS,
    maxMegabytesPerPart: settings.DECKPACE_PART_MEGABYTES,
    threadsBeside: () => gather.alive,
    onThreadFault,
  });
  const partQueue = new Queue<PartJob>(queueNames.parts, { connection: redis, prefix: queuePrefix });
  const inHand = { assessments: new JobsInHand(), parts: new JobsInHand() };
  const context: WorkerContext = {
    redis,
    settings,
    log,
    store: new AssessmentStore(redis),
    engine: (await import(engineUrl.href)) as EngineModule,
    engineUrl,
    parts: pool,
    spareParts: afterAssessments(pool, { partQueue, inHand: inHand.parts }),
    gather,
    graceOver: graceOver.signal,
  };

  const options = {
    connection: redis,
    prefix: queuePrefix,
    lockDuration: settings.DECKPACE_LOCK_SECONDS * 1000,
    stalledInterval: settings.DECKPACE_STALLED_CHECK_SECONDS * 1000,
    maxStalledCount: settings.DECKPACE_CRASHES_PER_PART,
  };
  const assessmentQueue = openAssessmentQueue(redis);
  const assessments = new Worker<AssessmentJob>(
    queueNames.assessments,
    // Three parameters without defaults: that is how BullMQ sees that a signal is wanted.
    (job, token, signal) =>
      inHand.assessments.during(job, () =>
        processAssessment(context, partQueue, job, token ?? '', signal ?? new AbortController().signal),
      ),
    { ...options, concurrency: ASSESSMENTS_AT_ONCE },
  );
  const parts = new Worker<PartJob>(
    queueNames.parts,
    (job, token, signal) =>
      inHand.parts.during(job, () =>
        processPart(context, job, token ?? '', signal ?? new AbortController().signal),
      ),
    { ...options, concurrency: settings.DECKPACE_THREADS },
  );
  for (const queue of [assessmentQueue, partQueue])
    queue.on('error', (error) => log.warn({ error }, 'queue'));
  for (const worker of [assessments, parts]) {
    pauseOnError(worker, log);
    worker.on('failed', (job, error) =>
      log.warn({ job: job?.id, reason: error.message, queue: worker.name }, 'job failed'),
    );
  }
  assessments.on('failed', (job) => {
    const id = job?.data.id;
    if (id === undefined) return;
    settleFailedJob(context, assessmentQueue, id).catch((error) => log.error({ error, id }, 'not recorded'));
  });

  const endCancellation = await stopCancelled(context, [
    { worker: assessments, inHand: inHand.assessments },
    { worker: parts, inHand: inHand.parts },
  ]);
  const deliveryQueue = new Queue<DeliveryJob>(queueNames.deliveries, {
    connection: redis,
    prefix: queuePrefix,
  });
  const queues = { assessments: assessmentQueue, parts: partQueue, deliveries: deliveryQueue };
  const endSchedules = await runSchedules(context, queues);
  const endDeliveries = await runDeliveries(context, deliveryQueue);
  const id = `${hostname()} ${randomUUID()}`;
  const announce = () =>
    announceWorker(redis, id, context.parts.threads, context.parts.busy).catch((error) =>
      log.warn({ error }, 'presence not announced'),
    );
  await announce();
  const presence = setInterval(announce, PRESENCE_MILLISECONDS);
  log.info({ threads: settings.DECKPACE_THREADS }, 'worker ready');

  return {
    close: async () => {
      clearInterval(presence);
      const finished = Promise.all([parts.close(), assessments.close(), endSchedules(), endDeliveries()]);
      const grace = setTimeout(() => {
        log.info('grace period over: what is in hand is handed back');
        for (const worker of [parts, assessments]) worker.cancelAllJobs(stopReasons.handBack);
        graceOver.abort();
      }, settings.DECKPACE_GRACE_SECONDS * 1000);
      await finished;
      clearTimeout(grace);
      await endCancellation();
      await context.parts.close();
      await context.gather.close();
      await withdrawWorker(redis, id);
      await Promise.all(Object.values(queues).map((queue) => queue.close()));
      redis.disconnect();
      log.info('worker ended');
    },
  };
}
