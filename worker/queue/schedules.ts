import { Queue, Worker } from 'bullmq';
import { releaseAssessments } from '../assessments/release-assessments.js';
import { relistAssessments } from '../assessments/relist-assessments.js';
import { trimAssessments } from '../assessments/trim-assessments.js';
import { rebuildLists } from '../restrictions/rebuild-lists.js';
import { redisMilliseconds } from '../service/redis-time.js';
import type { Settings } from '../service/settings.js';
import { requeueLostDeliveries } from '../subscriptions/requeue-lost-deliveries.js';
import { type Recurrence, registerSchedule, reviveSchedule } from './keep-schedule.js';
import { runNightlyRegression } from './nightly-regression.js';
import { pauseOnError } from './pause-on-error.js';
import { type DeliveryJob, queueNames, queuePrefix } from './queues.js';
import { type RepairedQueues, repairAssessments } from './repair-assessments.js';
import { handBack, waitOutStore } from './wait-out-store.js';
import { wakeOverslept } from './wake-overslept.js';
import type { WorkerContext } from './worker-context.js';

const REVIVAL_MILLISECONDS = 60_000;
/** Longer than back-off or another version's job is put off. */
const LONGEST_PAUSE_MILLISECONDS = 60_000;
/** Longer than deliveryPause. */
const LONGEST_DELIVERY_PAUSE_MILLISECONDS = 16 * 60_000;

/** Queues whose jobs recurring tasks look after. */
interface SweptQueues extends RepairedQueues {
  readonly deliveries: Queue<DeliveryJob>;
}

/** What recurs: id of the BullMQ job scheduler, when, and what is done by whichever worker takes the job. */
interface Schedule {
  readonly id: string;
  /** Null: not in this configuration. */
  readonly repeat: (settings: Settings) => Recurrence | null;
  readonly run: (
    context: WorkerContext,
    queues: SweptQueues,
    /** This worker ends: what takes long rejects, and is run from its beginning by the next worker. */
    signal: AbortSignal,
  ) => Promise<void>;
}

/** A new recurring task is one more entry here. */
const schedules: readonly Schedule[] = [
  {
    id: 'repair',
    repeat: () => ({ every: 15_000 }),
    run: async (context, queues) => {
      for (const queue of [queues.assessments, queues.parts])
        await wake(context, queue, LONGEST_PAUSE_MILLISECONDS);
      await repairAssessments(context, queues);
      await trimAssessments(context.redis, context.settings.DECKPACE_RETENTION_COUNT);
    },
  },
  {
    id: 'assessment-lists',
    repeat: () => ({ every: 300_000 }),
    run: async ({ redis, log }) => {
      const placed = await relistAssessments(redis);
      if (placed.length > 0) log.warn({ assessments: placed }, 'assessments stood in no list');
    },
  },
  {
    id: 'restriction-lists',
    repeat: () => ({ every: 60_000 }),
    run: async ({ redis, settings, log }) => {
      const { placed, restedOn, faults, warnings } = await rebuildLists(redis);
      if (placed.length > 0) log.error({ restrictions: placed }, 'lists of restrictions lacked some');
      for (const fault of faults) log.error({ fault }, 'record of restrictions');
      for (const warning of warnings) log.error({ warning }, 'evidence of restrictions');
      // A history that cannot be read may rest on any of them.
      if (faults.length > 0) return;
      const released = await releaseAssessments(redis, restedOn, settings.DECKPACE_RETENTION_DAYS * 86_400);
      if (released.length > 0) log.info({ assessments: released }, 'no restriction rests on them: released');
    },
  },
  {
    id: 'deliveries',
    repeat: () => ({ every: 60_000 }),
    run: async (context, { deliveries }) => {
      const { redis, settings, log } = context;
      await wake(context, deliveries, LONGEST_DELIVERY_PAUSE_MILLISECONDS);
      const lost = await requeueLostDeliveries(redis, deliveries, settings.DECKPACE_WEBHOOK_ATTEMPTS);
      if (lost.length > 0)
        log.error({ deliveries: lost }, 'deliveries that the queue had lost are made anew');
    },
  },
  {
    id: 'nightly-regression',
    repeat: ({ DECKPACE_NIGHTLY_CRON: pattern }) => (pattern === 'off' ? null : { pattern, tz: 'UTC' }),
    run: (context, _queues, signal) => runNightlyRegression(context, signal),
  },
];

async function wake({ redis, log }: WorkerContext, queue: Queue, longestMilliseconds: number): Promise<void> {
  const jobs = await wakeOverslept(redis, queue, longestMilliseconds);
  if (jobs.length > 0) log.warn({ jobs, queue: queue.name }, 'put off by a clock that was ahead: given back');
}

/** Registers the schedules, which is the same from every worker, and runs what is due. @returns ends this worker's share */
export async function runSchedules(
  context: WorkerContext,
  queues: SweptQueues,
): Promise<() => Promise<void>> {
  const options = { connection: context.redis, prefix: queuePrefix };
  const queue = new Queue(queueNames.schedules, options);
  // A worker that starts while Redis takes nothing begins when it does.
  const patiently = waitOutStore(context.graceOver, context.log);
  for (const { id, repeat } of schedules)
    await patiently(() => registerSchedule(queue, id, repeat(context.settings)));
  const revival = setInterval(() => {
    for (const { id, repeat } of schedules) {
      redisMilliseconds(context.redis)
        .then((now) => reviveSchedule(queue, id, repeat(context.settings), now))
        .then(
          (revived) =>
            revived &&
            context.log.warn(
              { schedule: id },
              'planned anew: it had no job any more, or one planned by a clock that was ahead',
            ),
          (error) => context.log.warn({ error, schedule: id }, 'schedule not looked after'),
        );
    }
  }, REVIVAL_MILLISECONDS);
  // The worker's own, not BullMQ's of a job: what is taken while it closes finds it aborted.
  const ending = new AbortController();
  const worker = new Worker(
    queueNames.schedules,
    async (job, token) => {
      try {
        // One that waits while its schedule is taken out is not wanted any more.
        const isWanted = await patiently(() => queue.getJobScheduler(job.name));
        if (isWanted) await schedules.find(({ id }) => id === job.name)?.run(context, queues, ending.signal);
      } catch (error) {
        if (ending.signal.aborted) await handBack(job, token ?? '');
        throw error;
      }
    },
    // Repairs go on while the nightly regression runs.
    {
      ...options,
      concurrency: schedules.length,
      maxStalledCount: context.settings.DECKPACE_CRASHES_PER_PART,
    },
  );
  pauseOnError(worker, context.log);
  worker.on('failed', (job, error) => context.log.error({ error, schedule: job?.name }, 'schedule failed'));
  return async () => {
    ending.abort();
    clearInterval(revival);
    await worker.close();
    await queue.close();
  };
}
