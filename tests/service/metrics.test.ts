import { Redis } from 'ioredis';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { createMetrics } from '../../api/metrics.js';
import { RedisServer } from './support/redis-server.js';

let server: RedisServer;
let redis: Redis;
beforeAll(async () => {
  server = await RedisServer.start();
  redis = new Redis(server.url);
});
afterAll(async () => {
  redis.disconnect();
  await server.stop();
});

/** How often Redis was asked each of these since it last forgot. */
async function asked(...commands: readonly string[]): Promise<readonly number[]> {
  const statistics = await redis.info('commandstats');
  return commands.map((command) =>
    Number(new RegExp(`cmdstat_${command}:calls=(\\d+)`).exec(statistics)?.[1] ?? 0),
  );
}

test('a scrape asks once for workers, work, subscriptions, outbox and the last regression, and the next one asks again', async () => {
  const { registry } = createMetrics(redis, []);
  for (const scrape of ['first', 'second']) {
    await redis.config('RESETSTAT');
    expect(await registry.metrics()).toContain('deckpace_workers 0');
    // Workers, work and subscriptions are hashes; what waits and what is set aside are lists, like the regressions.
    expect([scrape, await asked('hgetall', 'llen', 'lindex')]).toEqual([scrape, [3, 2, 2]]);
  }
});
