import { afterAll, beforeAll, expect, test } from 'vitest';
import { recordSubmission } from './support/record-submission.js';
import { scenarioOf } from './support/scenario.js';
import { type Client, Service } from './support/service.js';
import { SlowLink } from './support/slow-link.js';
import { until } from './support/until.js';

let service: Service;
let engineer: Client;

beforeAll(async () => {
  service = await Service.start();
  engineer = await service.client('E. Engineer', 'engineer');
});
afterAll(() => service.stop());

const submit = (priority: string, scenario: object, headers: Record<string, string> = {}) =>
  engineer.post(`/v1/assessments?priority=${priority}`, scenario, headers);
const jobPriority = (queue: string, job: string) =>
  service.redis.hget(`deckpace-queue:${queue}:${job}`, 'priority');

/** As an API leaves it that ends right after the first step of a raise. */
const halfRaised = (id: string) => service.redis.hset(`deckpace:assessment:${id}`, 'priority', 'post-event');

test('a raise of an assessment that waits is brought to its end by the next request, where the first was cut short', async () => {
  const scenario = scenarioOf('Waits', 'calm');
  const { id } = (await submit('nightly', scenario)).body;
  await halfRaised(id);
  expect(await jobPriority('assessments', id)).toBe('100');
  expect((await submit('post-event', scenario)).body).toMatchObject({ id, priority: 'post-event' });
  expect(await jobPriority('assessments', id)).toBe('1');
});

test('the repetition under an Idempotency-Key raises what the first had only recorded', async () => {
  const scenario = scenarioOf('Repeated', 'calm');
  const { id } = (await submit('nightly', scenario)).body;
  await recordSubmission(service.redis, scenario, {
    priority: 'post-event',
    keyId: /^deckpace_(.{12})_/.exec(engineer.token)?.[1] ?? '',
    idempotencyKey: 'first',
  });
  const repeated = await submit('post-event', scenario, { 'idempotency-key': 'first' });
  expect(repeated.headers.get('idempotency-replayed')).toBe('true');
  expect(repeated.body).toMatchObject({ id, priority: 'post-event' });
  expect(await jobPriority('assessments', id)).toBe('1');
});

test('parts that a worker adds after a raise, having read the record before it, are raised as well', async () => {
  const link = await SlowLink.to(service.redisServer.port, 150);
  const worker = await service.startWorker({ REDIS_URL: `redis://127.0.0.1:${link.port}` });
  // One part is under way for so long that the others wait.
  const scenario = scenarioOf('Raised between', 'busy-4000-a', 'busy-4000-b', 'calm-c', 'calm-d');
  const { id, links } = (await submit('nightly', scenario)).body;
  await until('begun', async () => (await engineer.get(links.self)).body.state === 'running');
  expect(await service.redis.exists(`deckpace-queue:parts:${id}_3`)).toBe(0);
  expect((await submit('post-event', scenario)).body).toMatchObject({ id, priority: 'post-event' });
  expect(await service.redis.exists(`deckpace-queue:parts:${id}_3`)).toBe(0);
  await until('raised', async () => (await jobPriority('parts', `${id}_3`)) === '1', 15);
  await worker.end('SIGKILL');
  await engineer.send('DELETE', links.self);
  link.close();
});

test('a worker that finds parts of a run that was cut short raises them', async () => {
  const scenario = scenarioOf('Cut short', 'loop-a', 'calm-b');
  const { id, links } = (await submit('nightly', scenario)).body;
  const first = await service.startWorker({ DECKPACE_THREADS: '1' });
  const jobs = 'deckpace-queue:assessments';
  await until('waiting', async () => (await service.redis.zscore(`${jobs}:waiting-children`, id)) !== null);
  await first.end('SIGKILL');
  // As where it was killed before it had looked at the record again, and was found to have vanished.
  await service.redis.zrem(`${jobs}:waiting-children`, id);
  await service.redis.rpush(`${jobs}:wait`, id);
  await halfRaised(id);
  // Nobody takes a part meanwhile: one that is done has no priority any more.
  await service.redis.hset('deckpace-queue:parts:meta', 'paused', 1);
  const second = await service.startWorker({ DECKPACE_THREADS: '1' });
  await until('raised', async () => (await jobPriority('parts', `${id}_1`)) === '1', 15);
  await service.redis.hdel('deckpace-queue:parts:meta', 'paused');
  await engineer.send('DELETE', links.self);
  await second.end('SIGTERM');
});

test('so are the parts of one that runs; a lower priority than it has changes nothing', async () => {
  await service.startWorker({ DECKPACE_THREADS: '1' });
  const scenario = scenarioOf('Runs', 'busy-4000-a', 'calm-b', 'calm-c');
  const { id, links } = (await submit('nightly', scenario)).body;
  await until('planned', async () => (await engineer.get(links.self)).body.parts.length === 3);
  await until(
    'waiting',
    async () => (await service.redis.zscore('deckpace-queue:parts:prioritized', `${id}_2`)) !== null,
  );
  await halfRaised(id);
  await submit('post-event', scenario);
  expect(await jobPriority('parts', `${id}_2`)).toBe('1');
  expect(await jobPriority('assessments', id)).toBe('1');
  expect((await submit('nightly', scenario)).body).toMatchObject({ id, priority: 'post-event' });
  expect(await jobPriority('parts', `${id}_2`)).toBe('1');
});
