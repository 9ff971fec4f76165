import type { Redis } from 'ioredis';
import { afterEach, expect, test, vi } from 'vitest';
import { assessmentKeys } from '../../worker/assessments/assessment-keys.js';
import { relistAssessments } from '../../worker/assessments/relist-assessments.js';
import { AssessmentRuns } from './support/assessment-runs.js';
import { scenarioOf } from './support/scenario.js';
import { until } from './support/until.js';

vi.setConfig({ testTimeout: 120_000 });

let runs: AssessmentRuns;
afterEach(() => runs.service.stop());

/** Leaves what worker/README.md says has to be kept, and nothing else, as in an empty Redis after a restore. */
async function restore(redis: Redis): Promise<void> {
  for (const key of await redis.keys('*')) {
    const kept = key.startsWith('deckpace:assessment:') || key === 'deckpace:keys';
    if (!kept) await redis.del(key);
  }
}

test('after a restore what was queued or running is listed, run again and finished, or fails with its reason', async () => {
  runs = await AssessmentRuns.start();
  const { redis } = runs.service;
  const first = await runs.service.startWorker({ DECKPACE_THREADS: '1' });
  const completed = await runs.submit('calm-before');
  expect(await runs.finished(completed)).toBe('completed');
  const running = await runs.submit('calm-1', 'busy-3000');
  await until('half of it done', async () => {
    const { body } = await runs.engineer.get(`/v1/assessments/${running}`);
    return body.parts.filter((part: { state: string }) => part.state !== 'waiting').length === 2;
  });
  await first.end('SIGKILL');
  const queued = await runs.submit('calm-2');
  const lost = await runs.submit('calm-3');
  await redis.del(assessmentKeys.scenario(lost));
  await restore(redis);

  await runs.service.startWorker();
  const all = [completed, running, queued, lost];
  expect(await Promise.all(all.map((id) => runs.finished(id)))).toEqual([
    'completed',
    'completed',
    'completed',
    'failed',
  ]);
  const { reason } = (await runs.engineer.get(`/v1/assessments/${lost}`)).body;
  expect(reason).toBe(`the scenario of assessment ${lost} is no longer stored`);
  const { body } = await runs.engineer.get('/v1/assessments');
  expect(body.items.map(({ id }: { id: string }) => id)).toEqual([...all].reverse());
});

test('what was restored is found by its scenario while it has not ended, and is listed once and in one state', async () => {
  runs = await AssessmentRuns.start();
  const { redis } = runs.service;
  const id = await runs.submit('calm');
  expect(await relistAssessments(redis)).toEqual([]);
  await restore(redis);
  await redis.zadd(assessmentKeys.inState('completed'), 1, id);
  expect(await relistAssessments(redis)).toEqual([id]);
  expect(await relistAssessments(redis)).toEqual([]);
  const { body } = await runs.engineer.post('/v1/assessments', scenarioOf('Trains calm', 'calm'));
  expect(body).toMatchObject({ id, created: false });
  expect((await runs.engineer.get('/v1/assessments?state=queued')).body.items).toHaveLength(1);
  expect((await runs.engineer.get('/v1/assessments?state=completed')).body.items).toEqual([]);
});
