import { afterAll, beforeAll, expect, test } from 'vitest';
import { recordSubmission } from './support/record-submission.js';
import { scenarioOf } from './support/scenario.js';
import { type Client, Service } from './support/service.js';
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
