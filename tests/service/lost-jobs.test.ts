import type { Redis } from 'ioredis';
import { afterEach, expect, test, vi } from 'vitest';
import { AssessmentRuns } from './support/assessment-runs.js';
import { until } from './support/until.js';

vi.setConfig({ testTimeout: 240_000 });

let runs: AssessmentRuns;
afterEach(() => runs.service.stop());

const assessments = 'deckpace-queue:assessments';
const parts = 'deckpace-queue:parts';

/** Ways in which the queue may come to have no job any more that would finish an assessment of two parts that wait. */
const ways: Readonly<Record<string, (redis: Redis, id: string) => Promise<unknown>>> = {
  'a part removed by hand': (redis, id) =>
    redis.multi().del(`${parts}:${id}_1`).zrem(`${parts}:prioritized`, `${id}_1`).exec(),
  'a part taken from its list and put into no other': (redis, id) =>
    redis.zrem(`${parts}:prioritized`, `${id}_1`),
  'all its parts in no list': (redis, id) => redis.zrem(`${parts}:prioritized`, `${id}_0`, `${id}_1`),
  'a part that ended, of which it was not told': (redis, id) =>
    redis
      .multi()
      .zrem(`${parts}:prioritized`, `${id}_1`)
      .zadd(`${parts}:completed`, Date.now(), `${id}_1`)
      .exec(),
  'a part that has lost what it says': (redis, id) => redis.del(`${parts}:${id}_1`),
  'waiting for no part at all': (redis, id) => redis.del(`${assessments}:${id}:dependencies`),
  'its own job in no list': (redis, id) => redis.zrem(`${assessments}:waiting-children`, id),
  'its own job removed by hand': (redis, id) =>
    redis.multi().del(`${assessments}:${id}`).zrem(`${assessments}:waiting-children`, id).exec(),
  'its own job without what it says': (redis, id) => redis.del(`${assessments}:${id}`),
};

test('whatever the queue has lost, an accepted assessment is finished', async () => {
  runs = await AssessmentRuns.start();
  const { redis } = runs.service;
  const first = await runs.service.startWorker({ DECKPACE_THREADS: '1' });
  const ahead = await runs.submit('loop');
  await runs.partRuns(ahead);
  const ids = new Map<string, string>();
  for (const way of Object.keys(ways))
    ids.set(way, await runs.submit(`calm-${ids.size}`, `calm-too-${ids.size}`));
  await until('all waiting for their parts', async () => {
    const waiting = await redis.zcard(`${assessments}:waiting-children`);
    return waiting === ids.size + 1 && (await redis.zcard(`${parts}:prioritized`)) === 2 * ids.size;
  });
  await first.end('SIGKILL');
  await runs.engineer.send('DELETE', `/v1/assessments/${ahead}`);
  for (const [way, id] of ids) {
    await ways[way]?.(redis, id);
    // As old as one that nobody is about to put into the queue.
    await redis.zadd('deckpace:assessments:running', Date.now() - 60_000, id);
  }
  await runs.service.startWorker();
  const states = await Promise.all(
    [...ids].map(async ([way, id]) => [way, await runs.finished(id, 60).catch(() => runs.stateOf(id))]),
  );
  expect(states).toEqual(Object.keys(ways).map((way) => [way, 'completed']));
});
