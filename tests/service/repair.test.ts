import { Queue } from 'bullmq';
import { Redis } from 'ioredis';
import { pino } from 'pino';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { AssessmentStore } from '../../worker/assessments/assessment-store.js';
import { openAssessmentQueue } from '../../worker/queue/assessment-queue.js';
import { type PartJob, queueNames, queuePrefix } from '../../worker/queue/queues.js';
import { repairAssessments } from '../../worker/queue/repair-assessments.js';
import { readSettings } from '../../worker/service/settings.js';
import { recordSubmission } from './support/record-submission.js';
import { RedisServer } from './support/redis-server.js';
import { scenarioOf } from './support/scenario.js';

let server: RedisServer;
let redis: Redis;
beforeAll(async () => {
  server = await RedisServer.givenOrStarted();
  redis = new Redis(server.url, { maxRetriesPerRequest: null });
});
afterAll(async () => {
  redis.disconnect();
  await server.stop();
});

test('one repair looks at some hundreds of the unfinished, and the next ones at the others', async () => {
  const queues = {
    assessments: openAssessmentQueue(redis),
    parts: new Queue<PartJob>(queueNames.parts, { connection: redis, prefix: queuePrefix }),
  };
  const context = {
    redis,
    store: new AssessmentStore(redis),
    settings: readSettings({}),
    log: pino({ level: 'silent' }),
  };
  const before = new Date(Date.now() - 60_000);
  const unfinished = 3000;
  for (let number = 0; number < unfinished; number += 1)
    await recordSubmission(redis, scenarioOf('Lost', 'calm'), { again: true }, before);
  const repaired: number[] = [];
  while ((repaired.at(-1) ?? 0) < unfinished && repaired.length < 20) {
    await repairAssessments(context, queues);
    repaired.push(await queues.assessments.getPrioritizedCount());
  }
  const [first = 0] = repaired;
  expect(first).toBeGreaterThan(0);
  expect(first).toBeLessThan(unfinished / 2);
  expect(repaired.at(-1)).toBe(unfinished);
  await Promise.all([queues.assessments.close(), queues.parts.close()]);
}, 60_000);
