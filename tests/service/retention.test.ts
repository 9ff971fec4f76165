import { Redis } from 'ioredis';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { AssessmentStore } from '../../worker/assessments/assessment-store.js';
import { changeState } from '../../worker/assessments/change-state.js';
import { listAssessments } from '../../worker/assessments/list-assessments.js';
import { pinAssessment } from '../../worker/assessments/pin-assessment.js';
import { releaseAssessments } from '../../worker/assessments/release-assessments.js';
import { submitAssessment } from '../../worker/assessments/submit-assessment.js';
import { trimAssessments } from '../../worker/assessments/trim-assessments.js';
import { RedisServer } from './support/redis-server.js';

let server: RedisServer;
let redis: Redis;
let store: AssessmentStore;

beforeAll(async () => {
  server = await RedisServer.givenOrStarted();
  redis = new Redis(server.url);
  store = new AssessmentStore(redis);
});
afterEach(() => redis.flushall());
afterAll(async () => {
  redis.disconnect();
  await server.stop();
});

const retentionSeconds = 86_400;

/** A completed assessment; the later its number, the younger. */
async function completed(number: number): Promise<string> {
  const { record } = await submitAssessment(
    redis,
    {
      scenario: Buffer.from('{}'),
      scenarioSha256: String(number),
      title: `Number ${number}`,
      engine: 'deckpace 0.0.0',
      priority: 'ordinary',
      submittedBy: 'E. Engineer',
      keyId: 'key',
      again: false,
      idempotencyKey: null,
    },
    new Date(Date.UTC(2020, 0, 1) + number * 1000),
  );
  const id = record?.id ?? '';
  await changeState(redis, id, { to: 'running', retentionSeconds });
  await store.saveOutputs(id, { result: '{}', report: '', sweeps: '' });
  await changeState(redis, id, { to: 'completed', retentionSeconds });
  return id;
}

async function kept(): Promise<readonly string[]> {
  const { items } = await listAssessments(store, { state: 'completed', after: null, limit: 10_000 });
  return items.map(({ id }) => id);
}

test('the oldest beyond the number go, however many older ones are under a restriction, and those take no place', async () => {
  const pinned = [];
  for (let number = 0; number < 510; number += 1) {
    const id = await completed(number);
    expect(await pinAssessment(redis, id)).toBe(true);
    pinned.push(id);
  }
  const others = [];
  for (let number = 510; number < 530; number += 1) others.push(await completed(number));
  await trimAssessments(redis, 5);
  expect(await kept()).toEqual([...pinned, ...others.slice(-5)].reverse());
  expect(await redis.keys(`deckpace:assessment:${others[0]}*`)).toEqual([]);
  await trimAssessments(redis, 5);
  expect(await kept()).toHaveLength(515);
});

test('nothing but a completed assessment that is still there can be kept for ever', async () => {
  expect(await pinAssessment(redis, 'a0')).toBe(false);
  expect(await redis.keys('*')).toEqual([]);
  const id = await completed(1);
  await redis.del(`deckpace:assessment:${id}:output:result`);
  expect(await pinAssessment(redis, id)).toBe(false);
  expect(await redis.ttl(`deckpace:assessment:${id}`)).toBeGreaterThan(0);
});

test('what is kept for a draft that was never made is released after an hour, and nothing else is', async () => {
  const hour = 3_600_000;
  const now = Date.now();
  const [rested, orphaned, drafting, former] = [
    await completed(1),
    await completed(2),
    await completed(3),
    await completed(4),
  ];
  for (const id of [rested, orphaned]) await pinAssessment(redis, id, now - hour - 1000);
  await pinAssessment(redis, drafting, now - hour + 1000);
  await pinAssessment(redis, former);
  // As an earlier version has left it.
  await redis.hset(`deckpace:assessment:${former}`, 'pinned', '1');
  const released = await releaseAssessments(redis, new Set([rested]), retentionSeconds, now);
  expect([...released].sort()).toEqual([orphaned, former].sort());
  expect((await redis.smembers('deckpace:pinned-assessments')).sort()).toEqual([rested, drafting].sort());
  for (const id of [orphaned, former]) {
    const lives = await Promise.all(
      (await redis.keys(`deckpace:assessment:${id}*`)).map((key) => redis.ttl(key)),
    );
    expect(lives.every((seconds) => seconds > 86_000 && seconds <= 86_400)).toBe(true);
  }
  for (const id of [rested, drafting])
    expect(await redis.ttl(`deckpace:assessment:${id}:output:result`)).toBe(-1);
  // A draft that is made after all has it kept again.
  expect(await pinAssessment(redis, orphaned)).toBe(true);
  expect(await redis.ttl(`deckpace:assessment:${orphaned}:output:result`)).toBe(-1);
});

test('the list is read while Redis takes no writes; what has expired is dropped from it afterwards', async () => {
  const [expired, still] = [await completed(1), await completed(2)];
  await redis.del(`deckpace:assessment:${expired}`);
  const inList = () => redis.zrange('deckpace:assessments', '0', '-1');
  await redis.config('SET', 'min-replicas-to-write', '1');
  try {
    expect(await kept()).toEqual([still]);
    expect(await inList()).toEqual([expired, still]);
  } finally {
    await redis.config('SET', 'min-replicas-to-write', '0');
  }
  expect(await kept()).toEqual([still]);
  expect(await inList()).toEqual([still]);
});
