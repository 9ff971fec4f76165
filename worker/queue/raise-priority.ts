import type { Queue } from 'bullmq';
import type { Redis } from 'ioredis';
import { assessmentKeys } from '../assessments/assessment-keys.js';
import type { AssessmentRecord, Priority } from '../assessments/assessment-record.js';
import { writeWhileWanted } from '../assessments/write-while-wanted.js';
import { type AssessmentJob, jobPriority, type PartJob } from './queues.js';

/**
 * Lets an assessment that is waiting overtake what is less urgent, because somebody has now asked for it with more urgency.
 * A lower priority than it has changes nothing. Its own job comes last and tells that all is done: where a raise was cut short, the next
 * request with this priority brings it to its end.
 *
 * @param plannedParts asks how many parts it has; 0 when it has not been planned
 * @returns the record as it is then
 */
export async function raisePriority(
  redis: Redis,
  queues: { readonly assessments: Queue<AssessmentJob>; readonly parts: Queue<PartJob> },
  record: AssessmentRecord,
  wanted: Priority,
  plannedParts: () => Promise<number>,
): Promise<AssessmentRecord> {
  const unfinished = record.state === 'queued' || record.state === 'running';
  if (!unfinished || jobPriority[wanted] > jobPriority[record.priority]) return record;
  const job = await queues.assessments.getJob(record.id);
  if (record.priority === wanted && (job === undefined || job.priority === jobPriority[wanted]))
    return record;
  // The record first: parts that are added from now on take it from there.
  await writeWhileWanted(redis, record.id, [
    { key: assessmentKeys.record(record.id), field: 'priority', value: wanted },
  ]);
  await raiseParts(queues.parts, record.id, await plannedParts(), wanted);
  await job?.changePriority({ priority: jobPriority[wanted] });
  return { ...record, priority: wanted };
}

/** Raises those that wait, also for a repetition; a part that is not in the queue is passed over. */
export async function raiseParts(
  queue: Queue<PartJob>,
  assessment: string,
  planned: number,
  wanted: Priority,
): Promise<void> {
  for (let index = 0; index < planned; index += 1) {
    const part = await queue.getJob(partJobId(assessment, index));
    const state = await part?.getState();
    if (state === 'prioritized' || state === 'delayed')
      await part?.changePriority({ priority: jobPriority[wanted] });
  }
}

/** Id of a part's job. */
export function partJobId(assessment: string, index: number): string {
  return `${assessment}_${index}`;
}
