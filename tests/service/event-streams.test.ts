import { once } from 'node:events';
import { get } from 'node:http';
import { Redis } from 'ioredis';
import { pino } from 'pino';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { runApi } from '../../api/run-api.js';
import { announceProgress } from '../../worker/assessments/assessment-events.js';
import { KeyStore } from '../../worker/keys/key-store.js';
import { readSettings } from '../../worker/service/settings.js';
import { recordSubmission } from './support/record-submission.js';
import { RedisServer } from './support/redis-server.js';
import { scenarioOf } from './support/scenario.js';
import { until } from './support/until.js';

let server: RedisServer;
let redis: Redis;
let api: Awaited<ReturnType<typeof runApi>>;
beforeAll(async () => {
  server = await RedisServer.givenOrStarted();
  redis = new Redis(server.url, { maxRetriesPerRequest: null });
  const settings = readSettings({ REDIS_URL: server.url, PORT: '0', DECKPACE_GRACE_SECONDS: '0' });
  api = await runApi(settings, pino({ level: 'silent' }));
});
afterAll(async () => {
  await api.close();
  redis.disconnect();
  await server.stop();
});

const timers = () => process.getActiveResourcesInfo().filter((kind) => kind === 'Timeout').length;

test('a stream of many events leaves no timers behind', async () => {
  const { record } = await recordSubmission(redis, scenarioOf('Watched', 'calm'));
  const id = record?.id ?? '';
  const { token } = await new KeyStore(redis).create('E. Engineer', ['engineer']);
  const request = get(`${api.url}/v1/assessments/${id}/events`, {
    headers: { authorization: `Bearer ${token}` },
  });
  const [response] = await once(request, 'response');
  let received = '';
  response.on('data', (chunk: Buffer) => {
    received += chunk;
  });
  const heard = () => received.split('event: progress').length - 1;
  const before = timers();
  const events = 100;
  for (let number = 1; number <= events; number += 1) {
    await announceProgress(redis, id, { part: 0, damage_case: 'intact', train: 'calm', fraction: 0 });
    await until('heard', () => heard() === number);
  }
  expect(timers() - before).toBeLessThan(events / 10);
  request.destroy();
}, 60_000);
