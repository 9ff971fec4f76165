import { Queue, Worker } from 'bullmq';
import { trimAssessments } from '../assessments/trim-assessments.js';
import { rebuildLists } from '../restrictions/rebuild-lists.js';
import type { Settings } from '../service/settings.js';
import { runNightlyRegression } from './nightly-regression.js';
import { pauseOnError } from './pause-on-error.js';
import type { AssessmentJob } from './queues.js';
import { queueNames, queuePrefix } from './queues.js';
import { repairAssessments } from './repair-assessments.js';
import { handBack, waitOutStore } from './wait-out-store.js';
import type { WorkerContext } from './worker-context.js';

/** What recurs: id of the BullMQ job scheduler, when, and what is done by whichever worker takes the job. */
interface Schedule {
  readonly id: string;
  /** Null: not in this configuration. */
  readonly repeat: (
    settings: Settings,
  ) => { readonly every: number } | { readonly pattern: string; readonly tz: 'UTC' } | null;
  readonly run: (
    context: WorkerContext,
    assessments: Queue<AssessmentJob>,
    /** This worker ends: what takes long rejects, and is run from its beginning by the next worker. */
    signal: AbortSignal,
  ) => Promise<void>;
}

/** A new recurring task is one more entry here. */
const schedules: readonly Schedule[] = [
  {
    id: 'repair',
    repeat: () => ({ every: 15_000 }),
    run: async (context, assessments) => {
      await repairAssessments(context, assessments);
      await trimAssessments(context.redis, context.settings.DECKPACE_RETENTION_COUNT);
    },
  },
  {
    id: 'restriction-lists',
    repeat: () => ({ every: 60_000 }),
    run: async ({ redis, log }) => {
      const { placed, faults, warnings } = await rebuildLists(redis);
      if (placed.length > 0) log.error({ restrictions: placed }, 'lists of restrictions lacked some');
      for (const fault of faults) log.error({ fault }, 'record of restrictions');
      for (const warning of warnings) log.error({ warning }, 'evidence of restrictions');
    },
  },
  {
    id: 'nightly-regression',
    repeat: ({ DECKPACE_NIGHTLY_CRON: pattern }) => (pattern === 'off' ? null : { pattern, tz: 'UTC' }),
    run: (context, _assessments, signal) => runNightlyRegression(context, signal),
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
    // Planned by a clock that was set back since: left so, it would rest until that hour has come again.
    if ('every' in when) {
      const planned = await patiently(() => queue.getJobScheduler(id));
      if ((planned?.next ?? 0) > Date.now() + 2 * when.every)
        await patiently(() => queue.removeJobScheduler(id));
    }
    await patiently(() =>
      queue.upsertJobScheduler(id, when, {
        name: id,
        opts: { removeOnComplete: { count: 100 }, removeOnFail: { count: 100 } },
      }),
    );
  }
  // The worker's own, not BullMQ's of a job: what is taken while it closes finds it aborted.
  const ending = new AbortController();
  const worker = new Worker(
    queueNames.schedules,
    async (job, token) => {
      try {
        await schedules.find(({ id }) => id === job.name)?.run(context, assessments, ending.signal);
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
    await worker.close();
    await queue.close();
  };
}
