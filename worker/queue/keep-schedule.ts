import { getNextMillis, type Queue } from 'bullmq';
import { isAlive } from './queues.js';

/** When something recurs: milliseconds between two runs, or a cron pattern. */
export type Recurrence = { readonly every: number } | { readonly pattern: string; readonly tz: 'UTC' };

/** What BullMQ has planned of a schedule: milliseconds since 1970. */
interface Plan {
  readonly next?: number | undefined;
  readonly every?: number | undefined;
  readonly pattern?: string | undefined;
}

/**
 * Registers a schedule as this worker wants it; null takes it out. A run that is due already, because no worker was there, stays and
 * is made up for once; one that was planned by a clock that has been set back since is planned anew, because it would rest until that
 * hour has come again.
 */
export async function registerSchedule(queue: Queue, id: string, when: Recurrence | null): Promise<void> {
  if (when === null) {
    await queue.removeJobScheduler(id);
    return;
  }
  const planned = await queue.getJobScheduler(id);
  const stands =
    planned !== undefined &&
    isAsWanted(planned, when) &&
    (planned.next ?? 0) <= latestPlan(when, Date.now()) &&
    (await hasJob(queue, id, planned));
  if (!stands) await planAnew(queue, id, when, planned);
}

/**
 * Plans a schedule anew that has no job any more: BullMQ plans the next run in several steps, which Redis does not take back where it
 * refuses one, and would never run it again. So is one that a clock which was ahead has planned. Another worker's pattern, or its wish
 * for none, is left as it is.
 *
 * @param now milliseconds since 1970 by the clock that all share
 */
export async function reviveSchedule(
  queue: Queue,
  id: string,
  when: Recurrence | null,
  now: number,
): Promise<boolean> {
  const planned = await queue.getJobScheduler(id);
  if (when === null || (planned === undefined && 'pattern' in when)) return false;
  const { pattern } = planned ?? {};
  const kept: Recurrence = pattern === undefined ? when : { pattern, tz: 'UTC' };
  const comesDue = planned !== undefined && (planned.next ?? 0) <= latestPlan(kept, now);
  if (comesDue && (await hasJob(queue, id, planned))) return false;
  await planAnew(queue, id, kept, planned);
  return true;
}

function isAsWanted(planned: Plan, when: Recurrence): boolean {
  return 'every' in when ? planned.every === when.every : planned.pattern === when.pattern;
}

/** Later than this nothing can be planned by a clock that goes right; the run of tonight may have been taken by a clock that is ahead. */
function latestPlan(when: Recurrence, now: number): number {
  if ('every' in when) return now + 2 * when.every;
  return nextRun(when, nextRun(when, now));
}

function nextRun(when: { readonly pattern: string; readonly tz: 'UTC' }, after: number): number {
  return getNextMillis(after, when) ?? after;
}

const jobOf = (id: string, next: number) => `repeat:${id}:${next}`;

async function hasJob(queue: Queue, id: string, { next }: Plan): Promise<boolean> {
  if (next === undefined) return false;
  if (isAlive(await queue.getJobState(jobOf(id, next)))) return true;
  // It may have been run meanwhile, and the one after it been planned.
  return (await queue.getJobScheduler(id))?.next !== next;
}

async function planAnew(
  queue: Queue,
  id: string,
  when: Recurrence,
  planned: Plan | undefined,
): Promise<void> {
  if (planned !== undefined) await queue.removeJobScheduler(id);
  // A job of that time that has ended, under a clock that was ahead, or stands nowhere would keep BullMQ from planning another.
  const times = [planned?.next, 'pattern' in when ? nextRun(when, Date.now()) : undefined];
  for (const time of times) {
    if (time !== undefined && !isAlive(await queue.getJobState(jobOf(id, time))))
      await queue.remove(jobOf(id, time));
  }
  await queue.upsertJobScheduler(id, when, {
    name: id,
    opts: { removeOnComplete: { count: 100 }, removeOnFail: { count: 100 } },
  });
}
