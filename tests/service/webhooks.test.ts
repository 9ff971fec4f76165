import { once } from 'node:events';
import { createServer, type IncomingMessage, type Server } from 'node:http';
import { Webhook } from 'standardwebhooks';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { eventType } from '../../worker/subscriptions/subscription.js';
import { scenarioOf } from './support/scenario.js';
import { type Client, Service } from './support/service.js';
import { until } from './support/until.js';

interface Received {
  readonly headers: IncomingMessage['headers'];
  readonly body: string;
  readonly path: string;
}

/** An operator's receiver: answers with the statuses it is given, in order, the last one for ever. */
class Receiver {
  private constructor(
    private readonly server: Server,
    readonly received: readonly Received[],
    readonly url: string,
  ) {}

  static async start(...statuses: readonly number[]): Promise<Receiver> {
    const received: Received[] = [];
    const server = createServer(async (request, response) => {
      const chunks: Buffer[] = [];
      for await (const chunk of request) chunks.push(chunk);
      received.push({
        headers: request.headers,
        body: Buffer.concat(chunks).toString(),
        path: request.url ?? '',
      });
      const status = statuses[Math.min(received.length, statuses.length) - 1] ?? 200;
      // Status 0: takes the request and never answers.
      if (status !== 0) response.writeHead(status, { location: '/elsewhere' }).end();
    }).listen(0, '127.0.0.1');
    await once(server, 'listening');
    const address = server.address();
    const port = typeof address === 'object' && address ? address.port : 0;
    return new Receiver(server, received, `http://127.0.0.1:${port}/hook`);
  }

  close(): void {
    this.server.closeAllConnections();
    this.server.close();
  }
}

let service: Service;
let engineer: Client;
let approver: Client;
let operator: Client;
let assessment: string;
let receivers: Receiver[] = [];

beforeAll(async () => {
  service = await Service.start({
    DECKPACE_WEBHOOK_PRIVATE: 'true',
    DECKPACE_WEBHOOK_SECONDS: '0.5',
    DECKPACE_WEBHOOK_ATTEMPTS: '2',
  });
  await service.startWorker();
  engineer = await service.client('E. Engineer', 'engineer');
  approver = await service.client('A. Approver', 'approver');
  operator = await service.client('O. Operator', 'operator');
  assessment = (await engineer.post('/v1/assessments', scenarioOf('Webhooks', 'calm'))).body.id;
  await until(
    'completed',
    async () => (await engineer.get(`/v1/assessments/${assessment}`)).body.state === 'completed',
  );
});
afterEach(async () => {
  for (const receiver of receivers) receiver.close();
  receivers = [];
  for (const { id } of (await operator.get('/v1/subscriptions')).body.items)
    await operator.send('DELETE', `/v1/subscriptions/${id}`);
});
afterAll(() => service.stop());

async function subscribe(...statuses: readonly number[]) {
  const receiver = await Receiver.start(...statuses);
  receivers.push(receiver);
  const { body } = await operator.post('/v1/subscriptions', { url: receiver.url });
  return { receiver, id: body.id as string, secret: body.secret as string };
}

async function approve(): Promise<string> {
  const { id } = (
    await engineer.post('/v1/restrictions', { assessment, damage_case: 'intact', class: 'passenger' })
  ).body;
  await approver.post(`/v1/restrictions/${id}/approval`, {});
  return id;
}

async function attempts(id: string, count: number) {
  return until(`${count} attempts`, async () => {
    const { body } = await operator.get(`/v1/subscriptions/${id}/deliveries`);
    return body.items.length >= count && body.items;
  });
}

test('an approval is delivered, signed, with the restriction as it then was', async () => {
  const { receiver, id, secret } = await subscribe(200);
  const restriction = await approve();
  const [delivery] = await until('delivered', () => receiver.received.length > 0 && receiver.received);
  const verified = new Webhook(secret).verify(delivery!.body, delivery!.headers as Record<string, string>);
  expect(verified).toMatchObject({
    type: 'restriction.approved',
    data: {
      id: restriction,
      state: 'in-force',
      permitted_speed_kmh: 80,
      speeds_hold: 'Speeds hold for trains in either direction.',
    },
  });
  const forged = delivery!.body.replace('80', '160');
  expect(() => new Webhook(secret).verify(forged, delivery!.headers as Record<string, string>)).toThrow();
  expect(await attempts(id, 1)).toMatchObject([{ outcome: 'delivered', status: 200, attempt: 1 }]);
});

test('a refused delivery is repeated under the same id, and the log shows both', async () => {
  const { receiver, id } = await subscribe(500, 204);
  await approve();
  expect(await attempts(id, 2)).toMatchObject([
    { outcome: 'delivered', status: 204, attempt: 2 },
    { outcome: 'failed', status: 500, attempt: 1 },
  ]);
  expect(receiver.received[0]!.headers['webhook-id']).toBe(receiver.received[1]!.headers['webhook-id']);
});

test('what happened to a restriction later is told after what a receiver refused at first', async () => {
  const { receiver } = await subscribe(500, 200);
  const restriction = await approve();
  await approver.post(`/v1/restrictions/${restriction}/withdrawal`, { reason: 'Repaired.' });
  await until('three deliveries', () => receiver.received.length === 3);
  expect(receiver.received.map(({ body }) => JSON.parse(body).data)).toMatchObject([
    { state: 'in-force', version: 2 },
    { state: 'in-force', version: 2 },
    { state: 'withdrawn', version: 3 },
  ]);
});

test('that a restriction is superseded is told after the approval of its successor, also where that was refused at first', async () => {
  const { receiver } = await subscribe(200, 500, 200);
  const before = await approve();
  await until('the first is told', () => receiver.received.length === 1);
  const draft = { assessment, damage_case: 'intact', class: 'passenger', supersedes: before };
  const successor = (await engineer.post('/v1/restrictions', draft)).body.id;
  await approver.post(`/v1/restrictions/${successor}/approval`, {});
  await until('four deliveries', () => receiver.received.length === 4);
  expect(receiver.received.map(({ body }) => JSON.parse(body).data)).toMatchObject([
    { id: before, state: 'in-force' },
    { id: successor, state: 'in-force' },
    { id: successor, state: 'in-force' },
    { id: before, state: 'superseded', successor },
  ]);
});

test('a redirect is not followed', async () => {
  const { receiver, id } = await subscribe(302);
  await approve();
  expect(await attempts(id, 2)).toMatchObject([
    { outcome: 'failed', status: 302, error: 'answered 302 (redirects are not followed)' },
    { outcome: 'failed', status: 302 },
  ]);
  expect(new Set(receiver.received.map(({ path }) => path))).toEqual(new Set(['/hook']));
});

test('a receiver that never answers is given up in time and holds nobody else up', async () => {
  const slow = await subscribe(0);
  const quick = await subscribe(200);
  await approve();
  expect(await attempts(quick.id, 1)).toMatchObject([{ outcome: 'delivered' }]);
  expect(await attempts(slow.id, 1)).toMatchObject([
    { outcome: 'failed', status: null, error: 'no answer within 0.5 s' },
  ]);
});

test('a subscription that is removed during a delivery leaves no log behind', async () => {
  const { receiver, id } = await subscribe(0);
  await approve();
  await until('the delivery is under way', () => receiver.received.length > 0);
  expect((await operator.send('DELETE', `/v1/subscriptions/${id}`)).status).toBe(204);
  const job = await jobOf(id);
  await until(
    'the delivery has ended',
    async () => (await service.redis.zscore('deckpace-queue:deliveries:completed', job!)) !== null,
  );
  expect(await service.redis.keys(`deckpace:subscription:${id}:*`)).toEqual([]);
});

test('one subscription may want every event there is', async () => {
  const receiver = await Receiver.start(200);
  receivers.push(receiver);
  const events = eventType.options;
  expect(await operator.post('/v1/subscriptions', { url: receiver.url, events })).toMatchObject({
    status: 201,
    body: { events },
  });
});

test('a receiver that is gone is not tried again', async () => {
  const { id } = await subscribe(410);
  await approve();
  await until(
    'the job failed',
    async () => (await service.redis.zscore('deckpace-queue:deliveries:failed', (await jobOf(id))!)) !== null,
  );
  expect((await operator.get(`/v1/subscriptions/${id}/deliveries`)).body.items).toHaveLength(1);
});

async function jobOf(subscription: string): Promise<string | undefined> {
  const jobs = await until('a job', async () => {
    const found = await service.redis.keys(`deckpace-queue:deliveries:${subscription}-*`);
    // One that is under way has a lock beside it.
    const jobs = found.filter((key) => !key.endsWith(':lock'));
    return jobs.length > 0 && jobs;
  });
  return jobs[0]!.slice('deckpace-queue:deliveries:'.length);
}

test('another operator neither sees nor ends a subscription', async () => {
  const { id } = await subscribe(200);
  const other = await service.client('Other Operator', 'operator');
  expect((await other.get('/v1/subscriptions')).body.items).toEqual([]);
  expect((await other.get(`/v1/subscriptions/${id}/deliveries`)).status).toBe(404);
  expect((await other.send('DELETE', `/v1/subscriptions/${id}`)).status).toBe(404);
  expect((await operator.get('/v1/subscriptions')).body.items).toMatchObject([{ id }]);
  expect(JSON.stringify((await operator.get('/v1/subscriptions')).body)).not.toContain('whsec_');
});

test('without permission, private targets are refused at once and, were one stored, at delivery', async () => {
  const strict = await Service.start();
  try {
    const operatorThere = await strict.client('O. Operator', 'operator');
    for (const url of [
      'http://receiver.example/',
      'https://127.0.0.1/',
      'https://169.254.169.254/latest',
      'https://localhost/',
      'ftp://a.example/',
    ]) {
      expect((await operatorThere.post('/v1/subscriptions', { url })).status).toBe(422);
    }
    const accepted = await operatorThere.post('/v1/subscriptions', { url: 'https://receiver.example/' });
    expect(accepted.status).toBe(201);
    // As if the name had been pointed elsewhere since.
    const { id } = accepted.body;
    const stored = await strict.redis.hget('deckpace:subscriptions', id);
    await strict.redis.hset('deckpace:subscriptions', id, stored!.replace('receiver.example', '127.0.0.1'));
    await strict.startWorker();
    const engineerThere = await strict.client('E. Engineer', 'engineer');
    const approverThere = await strict.client('A. Approver', 'approver');
    const submitted = await engineerThere.post('/v1/assessments', scenarioOf('Strict', 'calm'));
    await until(
      'completed',
      async () => (await engineerThere.get(submitted.body.links.self)).body.state === 'completed',
    );
    const draft = await engineerThere.post('/v1/restrictions', {
      assessment: submitted.body.id,
      damage_case: 'intact',
      class: 'passenger',
    });
    await approverThere.post(`/v1/restrictions/${draft.body.id}/approval`, {});
    const log = await until('an attempt', async () => {
      const { body } = await operatorThere.get(`/v1/subscriptions/${id}/deliveries`);
      return body.items.length > 0 && body.items;
    });
    expect(log).toMatchObject([{ outcome: 'refused', error: '127.0.0.1 is not a public address.' }]);
  } finally {
    await strict.stop();
  }
});
