import { Redis } from 'ioredis';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { KeyStore } from '../../worker/keys/key-store.js';
import { SubscriptionStore } from '../../worker/subscriptions/subscription-store.js';
import { RedisServer } from './support/redis-server.js';
import { runCommand } from './support/run-command.js';

let redisServer: RedisServer;
let redis: Redis;
let store: SubscriptionStore;
beforeAll(async () => {
  redisServer = await RedisServer.start();
  redis = new Redis(redisServer.url);
  store = new SubscriptionStore(redis);
});
afterEach(() => redis.flushall());
afterAll(async () => {
  redis.disconnect();
  await redisServer.stop();
});

const deckpace = (...words: readonly string[]) => runCommand(words, redisServer.url);

/** A key of somebody, with as many subscriptions made with it. */
async function keyWith(owner: string, count: number) {
  const { key } = await new KeyStore(redis).create(owner, ['operator']);
  const made: string[] = [];
  for (let index = 0; index < count; index += 1) {
    const wish = { url: 'https://receiver.example/', events: ['restriction.approved' as const] };
    made.push((await store.create({ ...wish, owner, ownerKey: key.id })).subscription.id);
  }
  return { key: key.id, made };
}
const ids = async () => (await store.list()).map(({ id }) => id).sort();

test('every subscription is listed with owner, key and target, without its secret', async () => {
  const { key, made } = await keyWith('O. Operator', 1);
  const { code, stdout } = await deckpace('subscriptions', 'list');
  expect(code).toBe(0);
  for (const part of [made[0]!, key, 'O. Operator', 'https://receiver.example/', 'restriction.approved'])
    expect(stdout).toContain(part);
  const json = await deckpace('subscriptions', 'list', '--json');
  expect(JSON.parse(json.stdout)).toMatchObject([{ id: made[0], owner_key: key }]);
  expect(stdout + json.stdout).not.toContain('whsec_');
});

test('a subscription is removed with its log, whoever owns it and also where it cannot be read', async () => {
  const [, gone] = (await keyWith('O. Operator', 2)).made;
  await redis.lpush(`deckpace:subscription:${gone}:attempts`, '{}');
  expect((await deckpace('subscriptions', 'remove', gone!)).code).toBe(0);
  expect(await ids()).not.toContain(gone);
  expect(await redis.keys(`deckpace:subscription:${gone}:*`)).toEqual([]);
  expect(await deckpace('subscriptions', 'remove', gone!)).toMatchObject({ code: 2, stdout: '' });

  await redis.hset('deckpace:subscriptions', 's0', 'no JSON');
  expect((await deckpace('subscriptions', 'list')).stderr).toContain('Subscription s0 cannot be read');
  expect((await deckpace('subscriptions', 'remove', 's0')).code).toBe(0);
  expect((await deckpace('subscriptions', 'list')).stderr).toBe('');
});

test('revoking a key says which subscriptions go on without it', async () => {
  const { key, made } = await keyWith('O. Operator', 2);
  const other = await keyWith('Other Operator', 1);
  const { code, stdout, stderr } = await deckpace('keys', 'revoke', key);
  expect(code).toBe(0);
  expect(stderr).toContain('deckpace subscriptions remove ID');
  for (const id of made) expect(stdout).toContain(id);
  expect(stdout).not.toContain(other.made[0]);
  expect(await ids()).toEqual([...made, ...other.made].sort());
});

test('revoking a key ends its subscriptions where that is asked for, and no others', async () => {
  const { key, made } = await keyWith('O. Operator', 2);
  const other = await keyWith('O. Operator', 1);
  const { code, stdout } = await deckpace('keys', 'revoke', key, '--end-subscriptions');
  expect(code).toBe(0);
  for (const id of made) expect(stdout).toContain(id);
  expect(await ids()).toEqual(other.made);
});

test('the subscriptions of a key that is revoked already are ended when that is asked for later', async () => {
  const { key, made } = await keyWith('O. Operator', 1);
  await deckpace('keys', 'revoke', key);
  expect(await ids()).toContain(made[0]);
  const { code, stdout } = await deckpace('keys', 'revoke', key, '--end-subscriptions');
  expect(code).toBe(0);
  expect(stdout).toContain(made[0]);
  expect(await ids()).not.toContain(made[0]);
  expect((await deckpace('keys', 'revoke', 'none', '--end-subscriptions')).code).toBe(2);
});

test('revoking a key without subscriptions says nothing of any', async () => {
  const { key } = await keyWith('O. Operator', 0);
  expect(await deckpace('keys', 'revoke', key)).toEqual({
    code: 0,
    stdout: '',
    stderr: `Key ${key} is revoked.\n`,
  });
});

test('help says how', async () => {
  const { stdout } = await deckpace('subscriptions', '--help');
  expect(stdout).toContain('deckpace subscriptions remove s');
  expect((await deckpace('keys', 'revoke', '--help')).stdout).toContain('--end-subscriptions');
});
