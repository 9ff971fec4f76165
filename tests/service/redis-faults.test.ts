import { afterEach, expect, test, vi } from 'vitest';
import { AssessmentRuns } from './support/assessment-runs.js';
import { scenarioOf } from './support/scenario.js';
import type { Client, Service } from './support/service.js';
import { SlowLink } from './support/slow-link.js';
import { until } from './support/until.js';

// Bounded by what is waited for, not by the clock of a busy machine.
vi.setConfig({ testTimeout: 240_000 });

let service: Service;
let engineer: Client;
let runs: AssessmentRuns;
afterEach(() => service.stop());

async function start(settings?: Readonly<Record<string, string>>): Promise<void> {
  runs = await AssessmentRuns.start(settings);
  ({ service, engineer } = runs);
}

test('Redis stopped and started mid-run: 503 meanwhile, and everything accepted completes', async () => {
  await start();
  await service.startWorker();
  const ids = await Promise.all(
    Array.from({ length: 5 }, (_, index) => runs.submit(`busy-600-${index}`, `busy-300-${index}`)),
  );
  await runs.partRuns(ids[0]!);
  await service.redisServer.kill();
  const refused = await engineer.post('/v1/assessments', scenarioOf('While away', 'calm'));
  expect(refused.status).toBe(503);
  expect(refused.headers.get('retry-after')).not.toBeNull();
  expect((await fetch(`${service.url}/readyz`)).status).toBe(503);
  expect((await fetch(`${service.url}/healthz`)).status).toBe(200);
  await service.redisServer.up();
  await until('the API recovered', async () => (await fetch(`${service.url}/readyz`)).status === 200);
  expect(await Promise.all(ids.map((id) => runs.finished(id)))).toEqual(ids.map(() => 'completed'));
  expect(await runs.finished(await runs.submit('calm'))).toBe('completed');
});

test('a worker told to end while Redis is away ends soon after its grace period all the same', async () => {
  await start({ DECKPACE_GRACE_SECONDS: '0.5' });
  const worker = await service.startWorker();
  await service.redisServer.kill();
  await worker.end('SIGTERM');
  expect(worker.child.exitCode).toBe(1);
  expect(worker.output).toContain('not ended in time');
});

test('Redis without memory left: 503, and service again as soon as there is some', async () => {
  await start();
  const id = await runs.submit('calm');
  await service.redis.config('SET', 'maxmemory', '1');
  const refused = await engineer.post('/v1/assessments', scenarioOf('No room', 'calm'));
  expect(refused.status).toBe(503);
  await service.redis.config('SET', 'maxmemory', '0');
  await service.startWorker();
  expect(await runs.finished(id)).toBe('completed');
  expect(await runs.finished(await runs.submit('calm', 'busy-10'))).toBe('completed');
});

test('Redis without memory while parts run: they wait for it, what is known stays readable, the log does not fill', async () => {
  await start();
  const worker = await service.startWorker();
  const done = await runs.submit('calm');
  await runs.finished(done);
  const ids = await Promise.all([1, 2, 3].map((number) => runs.submit(`busy-3000-${number}`)));
  await runs.partRuns(ids[0]!);
  await until('all of them running', async () =>
    (await Promise.all(ids.map((id) => runs.stateOf(id)))).every((state) => state === 'running'),
  );
  await service.redis.config('SET', 'maxmemory', '1');
  await until('a part waiting for the store', () => worker.output.includes('repeated until it does'));
  // Longer than five attempts with their back-off and than the lock of a part take together.
  const end = Date.now() + 25_000;
  await until('a while without memory', async () => {
    expect((await engineer.get(`/v1/assessments/${done}`)).body).toMatchObject({ state: 'completed' });
    expect(await Promise.all(ids.map((id) => runs.stateOf(id)))).toEqual(ids.map(() => 'running'));
    return Date.now() > end;
  });
  const ready = await fetch(`${service.url}/readyz`);
  expect(await ready.json()).toMatchObject({
    status: 503,
    detail: expect.stringContaining('no memory left: what writes is refused'),
  });
  expect((await engineer.post('/v1/assessments', scenarioOf('No room', 'calm'))).status).toBe(503);
  await service.redis.config('SET', 'maxmemory', '0');
  expect(await Promise.all(ids.map((id) => runs.finished(id)))).toEqual(ids.map(() => 'completed'));
  expect(await Promise.all(ids.map((id) => runs.timesFinished(id)))).toEqual(ids.map(() => 1));
  expect(worker.written).toBeLessThan(500_000);
  expect(worker.output).toMatch(/"error":\{"type":"\w+","message":"OOM command not allowed/);
  expect(await (await fetch(`${service.url}/readyz`)).json()).toMatchObject({ writes: 'accepted' });
});

test('a worker that starts while Redis has no memory left begins as soon as there is some', async () => {
  await start();
  const id = await runs.submit('busy-100-1', 'busy-100-2');
  await service.redis.config('SET', 'maxmemory', '1');
  const starting = service.startWorker();
  await until('the worker waiting for the store', () =>
    [...service.processes].some(({ output }) => output.includes('repeated until it does')),
  );
  expect(await runs.stateOf(id)).toBe('queued');
  await service.redis.config('SET', 'maxmemory', '0');
  await starting;
  expect(await runs.finished(id)).toBe('completed');
  expect(await runs.timesFinished(id)).toBe(1);
});

test('Redis short of replicas: 503 for what writes, answers for what reads, and no secret in the log', async () => {
  await start();
  const operator = await service.client('O. Operator', 'operator');
  await service.redis.config('SET', 'min-replicas-to-write', '1');
  expect((await engineer.post('/v1/assessments', scenarioOf('No replica', 'calm'))).status).toBe(503);
  const subscription = { url: 'https://receiver.example/hook' };
  expect((await operator.post('/v1/subscriptions', subscription)).status).toBe(503);
  expect((await operator.get('/v1/restrictions?state=in-force')).status).toBe(200);
  const ready = await fetch(`${service.url}/readyz?for=reading`);
  expect(await ready.json()).toMatchObject({ status: 'ready', writes: 'refused', workers: null });
  const metrics = await fetch(`${service.url}/metrics`);
  expect(metrics.status).toBe(200);
  expect(await metrics.text()).not.toMatch(/^deckpace_worker(s|_threads)[ {]/m);
  await service.redis.config('SET', 'min-replicas-to-write', '0');
  expect((await operator.post('/v1/subscriptions', subscription)).status).toBe(201);
  expect(service.api?.output).not.toContain('whsec_');
});

test('connections to Redis that fall silent without closing are replaced, in the API and in a worker', async () => {
  await start();
  await service.api?.end('SIGTERM');
  const link = await SlowLink.to(service.redisServer.port, 0);
  const linked = { REDIS_URL: `redis://127.0.0.1:${link.port}` };
  await service.startApi(linked);
  await service.startWorker(linked);
  const id = await runs.submit('busy-1500');
  await runs.partRuns(id);
  const listening = async () =>
    [...String(await service.redis.client('LIST', 'TYPE', 'PUBSUB')).matchAll(/^id=(\d+)/gm)].map(
      ([, id]) => id,
    );
  const before = await listening();
  expect(before).toHaveLength(2);
  link.fallSilent();
  await until('the API recovered', async () => (await engineer.get('/v1/assessments')).status === 200, 20);
  expect(await runs.finished(id, 40)).toBe('completed');
  const replaced = async () => {
    const now = await listening();
    return now.length === 2 && now.every((one) => !before.includes(one));
  };
  await until('the connections that only listen replaced', replaced, 40);
  link.close();
});

test('a failure to load the script that counts requests passes with what caused it', async () => {
  await start();
  const status = async () => (await engineer.get('/v1/assessments')).status;
  expect(await status()).toBe(200);
  // As after a restart of Redis that is cut short: the script is unknown, and loading it fails.
  await service.redis.script('FLUSH');
  await service.redis.acl('SETUSER', 'default', '-script', '-eval');
  expect(await status()).toBe(503);
  await service.redis.acl('SETUSER', 'default', '+script', '+eval');
  expect(await status()).toBe(200);
});
