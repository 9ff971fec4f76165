import { DelayedError, type Job, UnrecoverableError } from 'bullmq';
import type { AssessmentRecord } from '../assessments/assessment-record.js';
import { engineName } from '../engine-version.js';
import type { Settings } from '../service/settings.js';

const OFFERED_AGAIN_SECONDS = 2;

/**
 * Never may two versions of the engine have a part in one result. While the service is upgraded there are workers of both: a job
 * for another version than this worker's goes back to the queue, uncounted as an attempt, until one of its own takes it.
 *
 * @throws DelayedError when it went back
 * @throws UnrecoverableError when it has been offered for DECKPACE_ENGINE_WAIT_SECONDS, so that who waits for it learns why
 */
export async function leaveToOwnEngine(
  { DECKPACE_ENGINE_WAIT_SECONDS: patience }: Pick<Settings, 'DECKPACE_ENGINE_WAIT_SECONDS'>,
  job: Pick<Job, 'attemptsStarted' | 'moveToDelayed'>,
  { engine }: Pick<AssessmentRecord, 'engine'>,
  token: string,
): Promise<void> {
  const own = engineName();
  if (engine === own) return;
  // Every start but this one counts as an offer: the queue keeps no other count, and a crash among them shortens the wait by seconds.
  const waited = (job.attemptsStarted - 1) * OFFERED_AGAIN_SECONDS;
  if (waited >= patience) {
    throw new UnrecoverableError(
      `submitted for ${engine}, of which no worker took it within ${waited} s (this one is ${own}); ` +
        'bring API and workers to one version and submit the scenario again',
    );
  }
  await job.moveToDelayed(Date.now() + OFFERED_AGAIN_SECONDS * 1000, token);
  throw new DelayedError(`left to a worker of ${engine}`);
}
