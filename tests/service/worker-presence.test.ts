import { once } from 'node:events';
import { createServer } from 'node:net';
import { hostname } from 'node:os';
import { Redis } from 'ioredis';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { announceWorker, presentWorkers } from '../../worker/service/worker-presence.js';
import { freePort, RedisServer } from './support/redis-server.js';
import { ServiceProcess } from './support/service.js';

let server: RedisServer;
let redis: Redis;

beforeAll(async () => {
  server = await RedisServer.givenOrStarted();
  redis = new Redis(server.url);
});
afterAll(async () => {
  redis.disconnect();
  await server.stop();
});

/** What the health check of a container of this host ends with. */
async function healthCheck(url = server.url): Promise<number | null> {
  const check = ServiceProcess.start('worker/service/healthy.js', { REDIS_URL: url });
  await check.ended();
  return check.child.exitCode;
}

const here = `${hostname()} worker`;

/** As if the worker had last been heard of so long ago. */
async function heardOf(milliseconds: number): Promise<void> {
  const at = Date.now() - milliseconds;
  await redis.hset('deckpace:workers', here, JSON.stringify({ threads: 2, busy: 1, at }));
}

test('a worker is healthy for 15 s after it was heard of', async () => {
  expect(await healthCheck()).toBe(1);
  await announceWorker(redis, here, 2, 1);
  expect(await presentWorkers(redis)).toMatchObject([{ id: here, threads: 2, busy: 1 }]);
  expect(await healthCheck()).toBe(0);
  await heardOf(16_000);
  expect(await healthCheck()).toBe(1);
  expect(await redis.exists('deckpace:workers')).toBe(0);
});

test('what cannot be read of a worker is dropped and hides no other; what a newer one says besides is no fault', async () => {
  await announceWorker(redis, here, 2, 1);
  await redis.hset('deckpace:workers', 'cut short', '{"threads":');
  await redis.hset(
    'deckpace:workers',
    'newer',
    JSON.stringify({ threads: 4, busy: 0, at: Date.now(), gpu: 1 }),
  );
  const present = await presentWorkers(redis);
  expect(present?.map(({ id }) => id).sort()).toEqual([here, 'newer'].sort());
  expect(await redis.hexists('deckpace:workers', 'cut short')).toBe(0);
  await redis.hdel('deckpace:workers', 'newer');
});

test.each(['min-replicas-to-write', 'maxmemory'])(
  'while Redis takes no writes nothing is known of workers, and none is unhealthy for that: %s',
  async (setting) => {
    await heardOf(60_000);
    await redis.config('SET', setting, '1');
    try {
      expect(await presentWorkers(redis)).toBeNull();
      expect(await healthCheck()).toBe(0);
      expect(await redis.hexists('deckpace:workers', here)).toBe(1);
    } finally {
      await redis.config('SET', setting, '0');
    }
    expect(await healthCheck()).toBe(1);
  },
);

test('no worker is unhealthy because Redis is away, silent or not to be found', async () => {
  const silent = createServer(() => {}).listen(0, '127.0.0.1');
  await once(silent, 'listening');
  const address = silent.address();
  if (typeof address !== 'object' || address === null) throw new Error('no port');
  const hosts = [
    `127.0.0.1:${await freePort()}`,
    `127.0.0.1:${address.port}`,
    // As where containers find each other by name and the one of Redis has ended.
    'redis.invalid:6379',
  ];
  const outcomes = await Promise.all(hosts.map((host) => healthCheck(`redis://${host}`)));
  silent.close();
  expect(outcomes).toEqual([0, 0, 0]);
});
