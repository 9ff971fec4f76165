import { Redis } from 'ioredis';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { KeyStore } from '../../worker/keys/key-store.js';
import { freePort, RedisServer } from './support/redis-server.js';
import { runCommand } from './support/run-command.js';

let redisServer: RedisServer;
let redis: Redis;
beforeAll(async () => {
  redisServer = await RedisServer.start();
  redis = new Redis(redisServer.url);
});
afterAll(async () => {
  redis.disconnect();
  await redisServer.stop();
});

const deckpace = (words: readonly string[], url = redisServer.url) => runCommand(words, url);

test('a created key authenticates until it is revoked, and the list never shows its token', async () => {
  const created = await deckpace([
    'keys',
    'create',
    '--holder',
    'E. Engineer',
    '--role',
    'engineer',
    '--role',
    'approver',
  ]);
  expect(created.code).toBe(0);
  const token = created.stdout.trim();
  const store = new KeyStore(redis);
  const key = await store.authenticate(token);
  expect(key).toMatchObject({ holder: 'E. Engineer', roles: ['engineer', 'approver'] });

  const listed = await deckpace(['keys', 'list']);
  expect(listed.stdout).toContain(key!.id);
  // Not even the beginning of its secret, the last 43 characters, which may hold a `_` of their own.
  expect(listed.stdout).not.toContain(token.slice(-43).slice(0, 8));

  expect((await deckpace(['keys', 'revoke', key!.id])).code).toBe(0);
  expect(await store.authenticate(token)).toBeNull();
  expect((await deckpace(['keys', 'revoke', key!.id])).code).toBe(2);
  expect((await deckpace(['keys', 'list', '--json'])).stdout).toContain('"revoked_at": "2');
});

test('a token that differs in one character is nobody', async () => {
  const { stdout } = await deckpace(['keys', 'create', '--holder', 'Somebody', '--role', 'ci']);
  const token = stdout.trim();
  const other = token.slice(0, -1) + (token.endsWith('A') ? 'B' : 'A');
  expect(await new KeyStore(redis).authenticate(token)).not.toBeNull();
  expect(await new KeyStore(redis).authenticate(other)).toBeNull();
});

test('an unknown role, a missing holder and an absent Redis are said plainly', async () => {
  expect((await deckpace(['keys', 'create', '--holder', 'X Y', '--role', 'boss'])).stderr).toContain(
    'accepted are engineer',
  );
  expect((await deckpace(['keys', 'create', '--role', 'ci'])).code).toBe(2);
  const absent = await deckpace(['keys', 'list'], `redis://127.0.0.1:${await freePort()}`);
  expect(absent).toMatchObject({ code: 3, stdout: '' });
  expect(absent.stderr).toContain('No Redis answers');
});

test('a name of several lines is refused, and a role that is given twice counts once', async () => {
  for (const holder of ['E. Engi\nneer', 'E. Engineer\u001b[31m']) {
    const refused = await deckpace(['keys', 'create', '--holder', holder, '--role', 'ci']);
    expect(refused).toMatchObject({ code: 2, stdout: '' });
    expect(refused.stderr).toContain('without line breaks and control characters');
  }
  const twice = await deckpace(['keys', 'create', '--holder', 'Two Roles', '--role', 'ci', '--role', 'ci']);
  expect(await new KeyStore(redis).authenticate(twice.stdout.trim())).toMatchObject({ roles: ['ci'] });
});

test('a Redis that takes no writes is named, not the program or a scenario', async () => {
  await redis.config('SET', 'maxmemory', '1');
  try {
    const refused = await deckpace(['keys', 'create', '--holder', 'Too Late', '--role', 'ci']);
    expect(refused).toMatchObject({ code: 3, stdout: '' });
    expect(refused.stderr).toMatch(/^deckpace: Redis did not carry this out \(OOM [^\n]*\n$/);
  } finally {
    await redis.config('SET', 'maxmemory', '0');
  }
});

test('a key that cannot be read opens nothing, is named, and hides no other', async () => {
  const made = await deckpace(['keys', 'create', '--holder', 'Still There', '--role', 'ci']);
  await redis.hset('deckpace:keys', '0123456789ab', '{"id":"0123456789ab","holder":');
  const listed = await deckpace(['keys', 'list']);
  expect(listed.code).toBe(0);
  expect(listed.stdout).toContain('Still There');
  expect(listed.stderr).toContain('Key 0123456789ab cannot be read');
  const store = new KeyStore(redis);
  expect(await store.authenticate(`deckpace_0123456789ab_${'x'.repeat(43)}`)).toBeNull();
  expect(await store.authenticate(made.stdout.trim())).not.toBeNull();
  await redis.hdel('deckpace:keys', '0123456789ab');
});
