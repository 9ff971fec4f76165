import { Queue } from 'bullmq';
import type { Redis } from 'ioredis';
import type { Priority } from '../assessments/assessment-record.js';
import { type AssessmentJob, jobPriority, keptJobs, queueNames, queuePrefix } from './queues.js';

/** Queue of assessments, for adding to it. The connection stays the caller's. */
export function openAssessmentQueue(redis: Redis): Queue<AssessmentJob> {
  return new Queue<AssessmentJob>(queueNames.assessments, {
    connection: redis,
    prefix: queuePrefix,
    // Whether Redis serves was checked at start; a queue must not hold the start up when it comes and goes.
    skipVersionCheck: true,
  });
}

/** Adds the assessment's job. Adding it again changes nothing while BullMQ still knows it. */
export async function enqueueAssessment(
  queue: Queue<AssessmentJob>,
  id: string,
  priority: Priority,
): Promise<void> {
  await queue.add(
    'assessment',
    { id },
    {
      jobId: id,
      priority: jobPriority[priority],
      attempts: 5,
      backoff: { type: 'exponential', delay: 1000, jitter: 0.5 },
      ...keptJobs,
    },
  );
}
