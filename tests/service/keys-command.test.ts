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
  expect(absent).toMatchObject({ code: 2, stdout: '' });
  expect(absent.stderr).toContain('No Redis answers');
});
