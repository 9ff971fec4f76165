import { UnrecoverableError } from 'bullmq';
import type { AssessmentOutputs } from '../assessments/assessment-store.js';
import { hasCode } from '../has-code.js';
import { START_SECONDS } from '../part-pool.js';
import { isRefusedByMachine } from '../threads/thread-faults.js';
import type { GatherTask } from './gather-thread.js';
import type { WorkerContext } from './worker-context.js';

/**
 * Gathers parts in the worker's thread for it, within the limits of a part: other assessments wait for that thread. The time
 * counts from when the thread begins, not from the call.
 *
 * @param signal aborting it ends the gathering within milliseconds
 * @throws the signal's reason
 * @throws UnrecoverableError when the parts cannot be gathered, or not within the limits
 * @throws ThreadNotStarted | Error when the machine refuses a thread or a file, which may be repeated
 */
export async function gatherParts(
  { gather, settings }: Pick<WorkerContext, 'gather' | 'settings'>,
  task: GatherTask,
  signal: AbortSignal,
): Promise<AssessmentOutputs> {
  const seconds = settings.DECKPACE_PART_SECONDS;
  const late = new AbortController();
  const limitTo = (limit: number) => setTimeout(() => late.abort(), limit * 1000);
  let timer: NodeJS.Timeout | undefined;
  try {
    return await gather.run(task, {
      signal: AbortSignal.any([signal, late.signal]),
      onReport: (report) => {
        clearTimeout(timer);
        timer = limitTo(report === 'begun' ? seconds : seconds + START_SECONDS);
      },
    });
  } catch (error) {
    if (signal.aborted) throw error;
    if (late.signal.aborted)
      throw new UnrecoverableError(`gathering the parts exceeded the time limit of ${seconds} s`);
    if (hasCode(error, 'ERR_WORKER_OUT_OF_MEMORY'))
      throw new UnrecoverableError(
        `gathering the parts exceeded the memory limit of ${settings.DECKPACE_PART_MEGABYTES} MB`,
      );
    if (isRefusedByMachine(error)) throw error;
    const told = error instanceof Error ? error.message : String(error);
    throw new UnrecoverableError(`the parts could not be gathered: ${told}`);
  } finally {
    clearTimeout(timer);
  }
}
