import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Redis } from 'ioredis';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { packageRoot } from '../../worker/compiled-file.js';
import { checkRedis, connectForRequests, RedisUnfitError } from '../../worker/service/redis.js';
import { recordSubmission } from './support/record-submission.js';
import { RedisServer } from './support/redis-server.js';
import { scenarioOf } from './support/scenario.js';
import { Service } from './support/service.js';
import { until } from './support/until.js';

let server: RedisServer;
let redis: Redis;
let service: Service | null = null;

beforeAll(async () => {
  server = await RedisServer.start('--databases', '2');
  redis = new Redis(server.url);
});
afterEach(async () => {
  await service?.stop();
  service = null;
});
afterAll(async () => {
  redis.disconnect();
  await server.stop();
});

const allRights = ['~*', '&*', '+@all'];

/** Gives a user these rights and no others. @returns the URL with its password, "secret" */
async function userOf(of: Redis, url: string, ...rights: readonly string[]): Promise<string> {
  await of.acl('SETUSER', 'limited', 'reset', 'on', '>secret', ...rights);
  return `redis://limited:secret@${new URL(url).host}`;
}

test.each([
  ['no scripts', ['-eval']],
  ['no keys of the queue', ['resetkeys', '~deckpace:*']],
  ['no channels', ['resetchannels']],
  ['no writing', ['-set']],
  ['no asking Redis about itself', ['-info']],
])('a user with %s is refused at the start', async (_, rights) => {
  const asked = checkRedis(await userOf(redis, server.url, ...allRights, ...rights));
  await expect(asked).rejects.toThrow(RedisUnfitError);
  await expect(asked).rejects.toThrow(
    /does not let this user in or do everything it must \(NOPERM .*REDIS_URL/,
  );
});

test('a wrong password is called that, and not the lack of a Redis', async () => {
  const url = (await userOf(redis, server.url, ...allRights)).replace('secret', 'mistyped');
  const asked = checkRedis(url);
  await expect(asked).rejects.toThrow(/^Redis at .* does not let this user in .*WRONGPASS/);
  await expect(asked).rejects.not.toThrow(/mistyped/);
});

test('where Redis lacks the database, nothing is done in another', async () => {
  const errors: string[] = [];
  const lost = connectForRequests(`${server.url}/2`, ({ message }) => errors.push(message));
  lost.connect().catch(() => {});
  await until('refused', () => errors.length > 0);
  await expect(lost.set('deckpace:elsewhere', '1')).rejects.toThrow();
  lost.disconnect();
  expect(errors[0]).toContain('DB index is out of range');
  expect(await redis.exists('deckpace:elsewhere')).toBe(0);
});

test.each(['hset', 'set', 'xadd', 'zadd', 'expire', 'get', 'hmget'])(
  'a submission that Redis refuses for want of %s leaves nothing',
  async (command) => {
    await redis.flushall();
    const limited = new Redis(await userOf(redis, server.url, ...allRights, `-${command}`));
    const submission = recordSubmission(limited, scenarioOf('Refused', 'calm'), { idempotencyKey: 'once' });
    await expect(submission).rejects.toThrow(/can't run this command/);
    expect(await redis.keys('*')).toEqual([]);
    limited.disconnect();
  },
);

test('the rights that worker/README.md names are enough, and nothing is lost where one is missing for a while', async () => {
  const manual = readFileSync(join(packageRoot(), 'worker/README.md'), 'utf8');
  const rights = /`(~deckpace[^`]*)`/.exec(manual)?.[1]?.split(' ') ?? [];
  service = await Service.start();
  const url = await userOf(service.redis, service.redisServer.url, ...rights);
  await service.api?.end('SIGTERM');
  await service.startApi({ REDIS_URL: url });
  await service.startWorker({ REDIS_URL: url });
  const engineer = await service.client('E. Engineer', 'engineer');
  const completed = (id: string) =>
    until('completed', async () => (await engineer.get(`/v1/assessments/${id}`)).body.state === 'completed');
  const first = await engineer.post('/v1/assessments', scenarioOf('Rights', 'calm'));
  await completed(first.body.id);
  const body = { assessment: first.body.id, damage_case: 'intact', class: 'passenger' };
  expect((await engineer.post('/v1/restrictions', body)).status).toBe(201);
  expect((await engineer.get('/v1/restrictions')).body.items).toHaveLength(1);
  expect((await engineer.get('/metrics')).status).toBe(200);

  await service.redis.acl('SETUSER', 'limited', '-evalsha');
  const refused = await engineer.post('/v1/assessments', scenarioOf('Refused', 'calm'));
  expect(refused).toMatchObject({ status: 503, body: { type: 'urn:deckpace:problem:unavailable' } });
  await service.api?.says(/"level":50.*NOPERM/);
  await service.redis.acl('SETUSER', 'limited', '+evalsha');
  const second = await engineer.post('/v1/assessments', scenarioOf('Again', 'calm'));
  expect(second.status).toBe(202);
  await completed(second.body.id);
  await service.redis.acl('DELUSER', 'limited');
});
