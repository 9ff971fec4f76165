import type { Redis } from 'ioredis';
import { readScenario } from '../../../scenarios/read-scenario.js';
import {
  type Submission,
  type SubmissionOutcome,
  submitAssessment,
} from '../../../worker/assessments/submit-assessment.js';
import { engineName } from '../../../worker/engine-version.js';

/** Records a submission as an API does that ends before it has put the assessment into the queue. */
export function recordSubmission(
  redis: Redis,
  scenario: object,
  changes: Partial<Submission> = {},
  now = new Date(),
): Promise<SubmissionOutcome> {
  const bytes = Buffer.from(JSON.stringify(scenario));
  const reading = readScenario(bytes);
  if (!reading.ok) throw new Error('no valid scenario');
  return submitAssessment(
    redis,
    {
      scenario: bytes,
      scenarioSha256: reading.sha256,
      title: reading.scenario.title,
      engine: engineName(),
      priority: 'ordinary',
      submittedBy: 'E. Engineer',
      keyId: 'none',
      again: false,
      idempotencyKey: null,
      ...changes,
    },
    now,
  );
}
