import { Queue, Worker } from 'bullmq';
import { PartCancelled } from '../part-faults.js';
import type { Settings } from '../service/settings.js';
import { runNightlyRegression } from './nightly-regression.js';
import { pauseOnError } from './pause-on-error.js';
import type { AssessmentJob } from './queues.js';
import { queueNames, queuePrefix } from './queues.js';
import { repairAssessments, trimAssessments } from './repair-assessments.js';
import { handBack, StoreWaitEnded, waitOutStore } from './wait-out-store.js';
import type { WorkerContext } from './worker-context.js';

/** What recurs: id of the BullMQ job scheduler, when, and what is done by whichever worker takes the job. */
interface Schedule {
  readonly id: string;
  /** Null: not in this configuration. */
  readonly repeat: (
    settings: Settings,
  ) => { readonly every: number } | { readonly pattern: string; readonly tz: 'UTC' } | null;
  readonly run: (context: WorkerContext, assessments: Queue<AssessmentJob>) => Promise<void>;
}

/** A new recurring task is one more entry here. */
const schedules: readonly Schedule[] = [
  {
    id: 'repair',
    repeat: () => ({ every: 15_000 }),
    run: async (context, assessments) => {
      await repairAssessments(context, assessments);
      await trimAssessments(context);
    },
  },
  {
    id: 'nightly-regression',
    repeat: ({ DECKPACE_NIGHTLY_CRON: pattern }) => (pattern === 'off' ? null : { pattern, tz: 'UTC' }),
    run: runNightlyRegression,
  },
];

/** Registers the schedules, which is the same from every worker, and runs what is due. @returns ends this worker's share */
export async function runSchedules(
  context: WorkerContext,
  assessments: Queue<AssessmentJob>,
): Promise<() => Promise<void>> {
  const options = { connection: context.redis, prefix: queuePrefix };
  const queue = new Queue(queueNames.schedules, options);
  // A worker that starts while Redis takes nothing begins when it does.
  const patiently = waitOutStore(context.graceOver, context.log);
  for (const { id, repeat } of schedules) {
    const when = repeat(context.settings);
    if (when === null) {
      await patiently(() => queue.removeJobScheduler(id));
      continue;
    }
    await patiently(() =>
      queue.upsertJobScheduler(id, when, {
        name: id,
        opts: { removeOnComplete: { count: 100 }, removeOnFail: { count: 100 } },
      }),
    );
  }
  const worker = new Worker(
    queueNames.schedules,
    async (job, token) => {
      try {
        await schedules.find(({ id }) => id === job.name)?.run(context, assessments);
      } catch (error) {
        // This worker ends: another one does it from the beginning.
        if (error instanceof PartCancelled || error instanceof StoreWaitEnded)
          await handBack(job, token ?? '');
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
    await worker.close();
    await queue.close();
  };
}
