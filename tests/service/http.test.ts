import { once } from 'node:events';
import { connect, type Socket } from 'node:net';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { readScenario } from '../../scenarios/read-scenario.js';
import { announceProgress } from '../../worker/assessments/assessment-events.js';
import { KeyStore } from '../../worker/keys/key-store.js';
import { scenarioOf } from './support/scenario.js';
import { type Client, Service } from './support/service.js';
import { until } from './support/until.js';

let service: Service;
let engineer: Client;

beforeAll(async () => {
  service = await Service.start({
    DECKPACE_BODY_MEGABYTES: '0.1',
    DECKPACE_REQUEST_SECONDS: '2',
    DECKPACE_METRICS_TOKEN: 'a-token-of-metrics',
  });
  await service.startWorker();
  engineer = await service.client('E. Engineer', 'engineer');
});
afterAll(() => service.stop());

async function submit(...trains: readonly string[]): Promise<string> {
  return (await engineer.post('/v1/assessments', scenarioOf(`HTTP ${trains.join()}`, ...trains))).body.id;
}

test('a scenario with faults is answered with the faults that the command line prints', async () => {
  const scenario = { ...scenarioOf('Faulty', 'calm'), supports: [{ id: 'A1' }], extra: 1 };
  const reading = readScenario(JSON.stringify(scenario));
  const answer = await engineer.post('/v1/assessments', scenario);
  expect(answer.status).toBe(422);
  expect(answer.body.faults).toEqual(reading.ok ? [] : reading.faults);
  expect(answer.body.faults.length).toBeGreaterThan(1);
});

test('a body that is not JSON is 400, too large 413, of another type 415', async () => {
  const send = (body: string, type = 'application/json') =>
    engineer.fetch('POST', '/v1/assessments', { headers: { 'content-type': type }, body });
  expect((await send('{"format":')).status).toBe(400);
  expect((await send(`"${'x'.repeat(200_000)}"`)).status).toBe(413);
  expect((await send('format: deckpace', 'application/yaml')).status).toBe(415);
  const packed = await engineer.fetch('POST', '/v1/assessments', {
    headers: { 'content-type': 'application/json', 'content-encoding': 'exotic' },
    body: '{}',
  });
  expect(packed.status).toBe(415);
});

test('a bomb of compressed zeros is refused at its unpacked size', async () => {
  const { gzipSync } = await import('node:zlib');
  const response = await engineer.fetch('POST', '/v1/assessments', {
    headers: { 'content-type': 'application/json', 'content-encoding': 'gzip' },
    body: new Uint8Array(gzipSync(Buffer.alloc(50_000_000))),
  });
  expect(response.status).toBe(413);
});

test('the Idempotency-Key of another request is refused, also when it is malformed', async () => {
  const headers = { 'idempotency-key': 'mine' };
  expect((await engineer.post('/v1/assessments', scenarioOf('First', 'calm'), headers)).status).toBe(202);
  const other = await engineer.post('/v1/assessments', scenarioOf('Second', 'calm'), headers);
  expect(other).toMatchObject({ status: 422, body: { type: 'urn:deckpace:problem:idempotency-mismatch' } });
  const somebodyElse = await service.client('Other', 'engineer');
  expect((await somebodyElse.post('/v1/assessments', scenarioOf('Second', 'calm'), headers)).status).toBe(
    202,
  );
  expect(
    (
      await engineer.post('/v1/assessments', scenarioOf('Third', 'calm'), {
        'idempotency-key': 'x'.repeat(300),
      })
    ).status,
  ).toBe(400);
});

test('a revoked key is refused at once', async () => {
  const keys = new KeyStore(service.redis);
  const { key, token } = await keys.create('Leaver', ['engineer']);
  const ask = () => fetch(`${service.url}/v1/assessments`, { headers: { authorization: `Bearer ${token}` } });
  expect((await ask()).status).toBe(200);
  expect(await keys.revoke(key.id)).toBe(true);
  expect((await ask()).status).toBe(401);
});

test('of a key only a hash is stored, and no log line carries a token', async () => {
  const stored = JSON.stringify(await service.redis.hgetall('deckpace:keys'));
  const secret = engineer.token.split('_').slice(2).join('_');
  expect(stored).not.toContain(secret);
  await engineer.get('/v1/assessments/a404');
  await service.api?.says(/assessments\/a404/);
  const log = [...service.processes].map(({ output }) => output).join('');
  expect(log).not.toContain(secret);
});

test('a key that asks too often is told when to come back; others are not concerned', async () => {
  const limited = await Service.start({ DECKPACE_REQUESTS_PER_MINUTE: '5' });
  try {
    const eager = await limited.client('Eager', 'ci');
    const statuses: number[] = [];
    for (let request = 0; request < 7; request += 1)
      statuses.push((await eager.get('/v1/assessments')).status);
    expect(statuses).toEqual([200, 200, 200, 200, 200, 429, 429]);
    const refused = await eager.get('/v1/assessments');
    expect(Number(refused.headers.get('retry-after'))).toBeGreaterThan(0);
    expect(refused.headers.get('ratelimit')).toBeTruthy();
    const calm = await limited.client('Calm', 'ci');
    expect((await calm.get('/v1/assessments')).status).toBe(200);
  } finally {
    await limited.stop();
  }
});

test('requests with a wrong secret or a revoked key are counted against nobody', async () => {
  const keys = new KeyStore(service.redis);
  const { key, token } = await keys.create('Impersonated', ['engineer']);
  const ask = (bearer: string) =>
    fetch(`${service.url}/v1/assessments`, { headers: { authorization: `Bearer ${bearer}` } });
  const counted = (id: string) => service.redis.get(`deckpace:rate:${id}`);
  expect((await ask(token)).status).toBe(200);
  expect(await counted(key.id)).toBe('1');
  const wrong = await ask(`deckpace_${key.id}_${'A'.repeat(43)}`);
  expect([wrong.status, wrong.headers.get('ratelimit')]).toEqual([401, null]);
  expect((await ask(`deckpace_${'0'.repeat(12)}_${'A'.repeat(43)}`)).status).toBe(401);
  await keys.revoke(key.id);
  expect((await ask(token)).status).toBe(401);
  expect(await counted(key.id)).toBe('1');
  expect(await counted('0'.repeat(12))).toBeNull();
});

test('a request that the role forbids is counted', async () => {
  const reader = await service.client('Reader', 'operator');
  const left = (headers: Headers) => Number(/; r=(\d+); t=\d+/.exec(headers.get('ratelimit') ?? '')?.[1]);
  const before = left((await reader.get('/v1/restrictions')).headers);
  expect((await reader.post('/v1/assessments', {})).status).toBe(403);
  expect(left((await reader.get('/v1/restrictions')).headers)).toBe(before - 2);
});

test('the metrics ask for their token and count what happened', async () => {
  expect((await fetch(`${service.url}/metrics`)).status).toBe(401);
  const id = await submit('calm');
  await until(
    'completed',
    async () => (await engineer.get(`/v1/assessments/${id}`)).body.state === 'completed',
  );
  const text = await (
    await fetch(`${service.url}/metrics`, { headers: { authorization: 'Bearer a-token-of-metrics' } })
  ).text();
  for (const name of [
    'deckpace_queue_jobs{queue="parts",state="waiting"} 0',
    'deckpace_worker_threads{state="idle"}',
    'deckpace_workers 1',
    'deckpace_parts_total{outcome="failed"} 0',
    'deckpace_part_seconds{statistic="bucket",le="+Inf"}',
    'deckpace_http_seconds_bucket{le="0.1",method="post",route="/v1/assessments",status="202"}',
  ]) {
    expect(text).toContain(name);
  }
});

/** Reads server-sent events until the stream ends. */
async function follow(id: string, lastEventId?: string) {
  const response = await engineer.fetch(
    'GET',
    `/v1/assessments/${id}/events`,
    lastEventId ? { headers: { 'last-event-id': lastEventId } } : {},
  );
  const text = await response.text();
  const events = [...text.matchAll(/id: (\S+)\nevent: (\w+)\ndata: (.*)\n\n/g)].map(
    ([, eventId, type, data]) => ({
      id: eventId!,
      type: type!,
      data: JSON.parse(data!),
    }),
  );
  return { status: response.status, events };
}

test('events tell state and progress to the end, and resume where the client was cut off', async () => {
  const id = await submit('busy-700-events', 'busy-300-events');
  const { events } = await follow(id);
  const states = events.filter(({ type }) => type === 'state').map(({ data }) => data.state);
  expect(states).toEqual(['queued', 'running', 'completed']);
  expect(
    events.filter(({ type, data }) => type === 'progress' && data.fraction === 1).length,
  ).toBeGreaterThanOrEqual(2);
  for (const [index, event] of events.entries()) {
    const resumed = await follow(id, event.id);
    expect(resumed.events).toEqual(events.slice(index + 1));
    expect(resumed.status).toBe(index === events.length - 1 ? 204 : 200);
  }
  expect(
    (await engineer.fetch('GET', `/v1/assessments/${id}/events`, { headers: { 'last-event-id': 'abc' } }))
      .status,
  ).toBe(400);
});

test('HEAD of the events of an assessment that goes on is answered at once, with headers alone', async () => {
  const id = await submit('loop-head');
  const path = `/v1/assessments/${id}/events`;
  const socket = await open(`HEAD ${path} HTTP/1.1`);
  socket.write(`\r\nGET /healthz HTTP/1.1\r\nHost: deckpace\r\nConnection: close\r\n\r\n`);
  let text = '';
  for await (const chunk of socket) text += chunk;
  expect(text).toMatch(
    /^HTTP\/1\.1 200 .*\r\ncontent-type: text\/event-stream.*\r\n\r\nHTTP\/1\.1 200 .*alive/is,
  );
  expect(text).not.toContain('event:');
  await engineer.send('DELETE', `/v1/assessments/${id}`);
});

test('whoever loses the key sees no more of an event stream that is open', async () => {
  const keys = new KeyStore(service.redis);
  const { key, token } = await keys.create('Leaver', ['engineer']);
  const id = await submit('loop-revoked');
  const response = await fetch(`${service.url}/v1/assessments/${id}/events`, {
    headers: { authorization: `Bearer ${token}` },
  });
  let text = '';
  const ended = (async () => {
    const decoder = new TextDecoder();
    for await (const chunk of response.body ?? []) text += decoder.decode(chunk);
  })();
  await until('the assessment running', () => text.includes('"running"'));
  await keys.revoke(key.id);
  await engineer.send('DELETE', `/v1/assessments/${id}`);
  await ended;
  expect(text).not.toContain('cancelled');
  expect((await follow(id)).events.at(-1)?.data.state).toBe('cancelled');
});

test('the end of an assessment is its last event, whatever a part says after it', async () => {
  const id = await submit('loop-late');
  await engineer.send('DELETE', `/v1/assessments/${id}`);
  await announceProgress(service.redis, id, {
    part: 0,
    damage_case: 'intact',
    train: 'loop-late',
    fraction: 1,
  });
  expect((await follow(id)).events.at(-1)?.data.state).toBe('cancelled');
});

/** A raw connection to the API. */
async function open(...lines: readonly string[]): Promise<Socket> {
  const socket = connect(Number(new URL(service.url).port), '127.0.0.1');
  await once(socket, 'connect');
  socket.on('error', () => {});
  socket.write(`${[...lines, 'Host: deckpace', `Authorization: Bearer ${engineer.token}`].join('\r\n')}\r\n`);
  return socket;
}

test('clients that take no events and clients that send slowly harm nobody and are cut off', async () => {
  const id = await submit('busy-1500-slow');
  const deaf: Socket[] = [];
  for (let client = 0; client < 100; client += 1) {
    const socket = await open(`GET /v1/assessments/${id}/events HTTP/1.1`);
    socket.pause();
    socket.write('\r\n');
    deaf.push(socket);
  }
  const slow: Socket[] = [];
  for (let client = 0; client < 50; client += 1) {
    const socket = await open(
      'POST /v1/assessments HTTP/1.1',
      'Content-Type: application/json',
      'Content-Length: 1000',
    );
    socket.write('\r\n{"format"');
    slow.push(socket);
  }
  const headersOnly = await open('GET /v1/assessments HTTP/1.1');
  let cutOff = 0;
  const last = [...slow, headersOnly].map(async (socket) => {
    let text = '';
    for await (const chunk of socket) text += chunk;
    cutOff += 1;
    return text;
  });
  // Answered while they hold on: nobody waits for them to be cut off.
  expect((await engineer.get(`/v1/assessments/${id}`)).status).toBe(200);
  expect(cutOff).toBeLessThan(last.length);
  const answers = await Promise.all(last);
  for (const answer of answers) expect(answer).toMatch(/^HTTP\/1\.1 408 /);
  await until(
    'the assessment completed',
    async () => (await engineer.get(`/v1/assessments/${id}`)).body.state === 'completed',
  );
  for (const socket of deaf) socket.destroy();
  expect((await engineer.get(`/v1/assessments/${id}`)).status).toBe(200);
});
