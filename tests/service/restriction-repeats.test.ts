import { afterAll, beforeAll, expect, test } from 'vitest';
import { scenarioOf } from './support/scenario.js';
import { type Client, Service } from './support/service.js';
import { SlowLink } from './support/slow-link.js';
import { until } from './support/until.js';

let service: Service;
let link: SlowLink;
let engineer: Client;
let approver: Client;
let assessment: string;

beforeAll(async () => {
  service = await Service.start();
  await service.startWorker();
  engineer = await service.client('E. Engineer', 'engineer');
  approver = await service.client('A. Approver', 'approver');
  const submitted = await engineer.post('/v1/assessments', scenarioOf('Repeats', 'calm'));
  assessment = submitted.body.id;
  await until(
    'completed',
    async () => (await engineer.get(submitted.body.links.self)).body.state === 'completed',
  );
  await service.api?.end('SIGTERM');
  link = await SlowLink.to(service.redisServer.port, 0);
  await service.startApi({ REDIS_URL: `redis://127.0.0.1:${link.port}` });
});
afterAll(async () => {
  link.close();
  await service.stop();
});

const draft = (key: string, more = {}) =>
  engineer.post(
    '/v1/restrictions',
    { assessment, damage_case: 'intact', class: 'passenger', ...more },
    { 'idempotency-key': key },
  );
const drafts = () => service.redis.zcard('deckpace:restrictions');
const entries = (id: string) => service.redis.llen(`deckpace:restriction:${id}:history`);

/** Sends something, and loses the answer of Redis in the moment in which it has been done. */
async function cutAfter<T>(send: () => Promise<T>, done: () => Promise<boolean>): Promise<T> {
  link.answerAfter(300);
  const sent = send();
  await until('done', done);
  link.cut();
  link.answerAfter(0);
  return sent;
}

test('a draft whose answer was lost is answered all the same, and its repetition is the same draft', async () => {
  const before = await drafts();
  const first = await cutAfter(
    () => draft('lost'),
    async () => (await drafts()) > before,
  );
  expect(first).toMatchObject({ status: 201, body: { state: 'draft' } });
  expect(await draft('lost')).toMatchObject({ status: 201, body: { id: first.body.id } });
  expect(await drafts()).toBe(before + 1);
});

test('a request whose connection to Redis is lost at its beginning does not take itself for another', async () => {
  const begun = () => service.redis.keys('deckpace:idempotent-reply:*:early');
  const answer = await cutAfter(
    () => draft('early'),
    async () => (await begun()).length > 0,
  );
  expect(answer).toMatchObject({ status: 201 });
});

test('a key whose request failed for want of Redis is free again once Redis is back, and not after half a minute', async () => {
  const before = await drafts();
  link.answerAfter(100);
  const sent = draft('failed');
  let answered = false;
  sent.finally(() => {
    answered = true;
  });
  await until(
    'begun',
    async () => (await service.redis.keys('deckpace:idempotent-reply:*:failed')).length > 0,
  );
  await until('answered', () => {
    link.cut();
    return answered;
  });
  expect((await sent).status).toBe(503);
  link.answerAfter(0);
  const repeated = await until(
    'answered anew',
    async () => {
      const answer = await draft('failed');
      return answer.status !== 409 && answer.status !== 503 && answer;
    },
    10,
  );
  expect(repeated.status).toBe(201);
  expect(await drafts()).toBe(before + 1);
});

test('an approval and a withdrawal whose answers were lost are answered as done, and done once', async () => {
  const { id } = (await draft('to-approve')).body;
  const approved = await cutAfter(
    () => approver.post(`/v1/restrictions/${id}/approval`, {}),
    async () => (await entries(id)) === 2,
  );
  expect(approved).toMatchObject({ status: 200, body: { state: 'in-force' } });
  const withdrawn = await cutAfter(
    () => approver.post(`/v1/restrictions/${id}/withdrawal`, { reason: 'Repaired.' }),
    async () => (await entries(id)) === 3,
  );
  expect(withdrawn).toMatchObject({ status: 200, body: { state: 'withdrawn' } });
  expect(await entries(id)).toBe(3);
});

test('the same person may repeat an approval or a withdrawal; with another reason it is another change', async () => {
  const { id } = (await draft('to-repeat')).body;
  const approve = (reason: string) => approver.post(`/v1/restrictions/${id}/approval`, { reason });
  const withdraw = (reason: string) => approver.post(`/v1/restrictions/${id}/withdrawal`, { reason });
  const other = await service.client('Another Approver', 'approver');
  expect((await approve('Checked on site.')).status).toBe(200);
  expect(await approve('Checked on site.')).toMatchObject({ status: 200, body: { state: 'in-force' } });
  expect((await approve('Checked again.')).status).toBe(409);
  expect((await other.post(`/v1/restrictions/${id}/approval`, { reason: 'Checked on site.' })).status).toBe(
    409,
  );
  expect((await withdraw('Repaired.')).status).toBe(200);
  expect(await withdraw('Repaired.')).toMatchObject({ status: 200, body: { state: 'withdrawn' } });
  expect((await withdraw('Repaired well.')).status).toBe(409);
  expect(await entries(id)).toBe(3);
});

test('the API killed after it drafted: the repetition is that draft, another request under the key is refused', async () => {
  const before = await drafts();
  link.answerAfter(300);
  const cut = draft('killed').catch((error: Error) => error);
  await until('drafted', async () => (await drafts()) > before);
  await service.api?.end('SIGKILL');
  expect(await cut).toBeInstanceOf(Error);
  link.answerAfter(0);
  await service.startApi({ REDIS_URL: `redis://127.0.0.1:${link.port}` });

  expect((await draft('killed')).status).toBe(409);
  // As if the time had passed in which the first request might still be answered.
  const [pending] = await service.redis.keys('deckpace:idempotent-reply:*:killed');
  await service.redis.del(pending!);
  const lowered = { permitted_speed_kmh: 60, lowered_because: 'Night works.' };
  expect(await draft('killed', lowered)).toMatchObject({
    status: 422,
    body: { type: 'urn:deckpace:problem:idempotency-mismatch' },
  });
  const repeated = await draft('killed');
  expect(repeated).toMatchObject({ status: 201, body: { state: 'draft', permitted_speed_kmh: 80 } });
  expect(await drafts()).toBe(before + 1);
});

test('the API killed after it made a subscription: the repetition is that subscription, with the secret that signs', async () => {
  const operator = await service.client('O. Operator', 'operator');
  const subscribe = (path = '') =>
    operator.post(
      '/v1/subscriptions',
      { url: `https://receiver.example/${path}` },
      { 'idempotency-key': 'subscribed' },
    );
  const stored = () => service.redis.hgetall('deckpace:subscriptions');
  link.answerAfter(300);
  const cut = subscribe().catch((error: Error) => error);
  await until('subscribed', async () => Object.keys(await stored()).length > 0);
  await service.api?.end('SIGKILL');
  expect(await cut).toBeInstanceOf(Error);
  link.answerAfter(0);
  await service.startApi({ REDIS_URL: `redis://127.0.0.1:${link.port}` });

  // As if the time had passed in which the first request might still be answered.
  const [pending] = await service.redis.keys('deckpace:idempotent-reply:*:subscribed');
  await service.redis.del(pending!);
  expect((await subscribe('elsewhere')).status).toBe(422);
  const repeated = await subscribe();
  expect(repeated.status).toBe(201);
  const kept = Object.values(await stored()).map((text) => JSON.parse(text));
  expect(kept).toEqual([repeated.body]);
});

test('a draft that was refused may be mended under its key', async () => {
  expect((await draft('mended', { permitted_speed_kmh: 81 })).status).toBe(422);
  expect(await draft('mended')).toMatchObject({ status: 201, body: { permitted_speed_kmh: 80 } });
});
