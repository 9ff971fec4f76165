import type { Queue } from 'bullmq';
import type { Redis } from 'ioredis';
import { assessmentKeys } from '../assessments/assessment-keys.js';
import type { AssessmentRecord, Priority } from '../assessments/assessment-record.js';
import { writeWhileWanted } from '../assessments/write-while-wanted.js';
import { type AssessmentJob, jobPriority, type PartJob } from './queues.js';

/**
 * Lets an assessment that is waiting overtake what is less urgent, because somebody has now asked for it with more urgency.
 * A lower priority than it has changes nothing.
 *
 * @param plannedParts how many parts it has; 0 when it has not been planned
 * @returns the record as it is then
 */
export async function raisePriority(
  redis: Redis,
  queues: { readonly assessments: Queue<AssessmentJob>; readonly parts: Queue<PartJob> },
  record: AssessmentRecord,
  wanted: Priority,
  plannedParts: number,
): Promise<AssessmentRecord> {
  const unfinished = record.state === 'queued' || record.state === 'running';
  if (!unfinished || jobPriority[wanted] >= jobPriority[record.priority]) return record;
  // The record first: parts that are added from now on take it from there.
  await writeWhileWanted(redis, record.id, [
    { key: assessmentKeys.record(record.id), field: 'priority', value: wanted },
  ]);
  const change = { priority: jobPriority[wanted] };
  await (await queues.assessments.getJob(record.id))?.changePriority(change);
  for (let index = 0; index < plannedParts; index += 1) {
    const part = await queues.parts.getJob(partJobId(record.id, index));
    if (part !== undefined && (await part.getState()) === 'prioritized') await part.changePriority(change);
  }
  return { ...record, priority: wanted };
}

/** Id of a part's job. */
export function partJobId(assessment: string, index: number): string {
  return `${assessment}_${index}`;
}
