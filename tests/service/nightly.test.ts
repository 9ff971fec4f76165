import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Queue } from 'bullmq';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { compiledFile } from '../../worker/compiled-file.js';
import { queueNames, queuePrefix } from '../../worker/queue/queues.js';
import { latestRegression } from '../../worker/regression/regression-record.js';
import { scenarioOf } from './support/scenario.js';
import { Service } from './support/service.js';
import { until } from './support/until.js';

const everySecond = { DECKPACE_NIGHTLY_CRON: '* * * * * *', DECKPACE_NIGHTLY_FILTER: 'single-span-bare' };
const bodies: string[] = [];
const receiver = createServer(async (request, response) => {
  const chunks: Buffer[] = [];
  for await (const chunk of request) chunks.push(chunk);
  bodies.push(Buffer.concat(chunks).toString());
  response.writeHead(200).end();
});
let service: Service;

beforeAll(async () => {
  receiver.listen(0, '127.0.0.1');
  await once(receiver, 'listening');
  service = await Service.start({ DECKPACE_WEBHOOK_PRIVATE: 'true' });
});

afterAll(async () => {
  await service.stop();
  receiver.close();
});

const metric = async (line: string) => {
  const client = await service.client('M. Metrics', 'operator');
  return String((await client.get('/metrics')).body).includes(`${line}\n`);
};

test('before the first nightly run no metric says that one failed or is long ago', async () => {
  const client = await service.client('M. Metrics', 'operator');
  const { body } = await client.get('/metrics');
  expect(body).toContain('# TYPE deckpace_regression_passed gauge');
  expect(body).not.toMatch(/^deckpace_regression_/m);
});

test('a nightly run that waits while the nightly runs are switched off is not made', async () => {
  const connection = { url: service.redisServer.url };
  const schedules = new Queue(queueNames.schedules, { connection, prefix: queuePrefix });
  const job = await schedules.add('nightly-regression', {});
  const worker = await service.startWorker({ DECKPACE_NIGHTLY_CRON: 'off' });
  await until('taken', () => job.isCompleted());
  await worker.end('SIGTERM');
  expect(await latestRegression(service.redis)).toBeNull();
  await schedules.close();
});

test('a nightly run that agrees is kept and shows in the metrics, and tells nobody', async () => {
  const worker = await service.startWorker({
    ...everySecond,
    DECKPACE_ENGINE: compiledFile('worker/engine.js').href,
  });
  await until('kept', async () => (await latestRegression(service.redis)) !== null);
  await worker.end('SIGTERM');
  const record = await latestRegression(service.redis);
  expect(record).toMatchObject({ passed: true, disagreeing: [] });
  expect(record!.markdown).toContain('single-span-bare');
  expect(record!.junit).toContain('<testcase name="single-span-bare"');
  expect(await metric('deckpace_regression_passed 1')).toBe(true);
  expect(bodies).toEqual([]);
});

test('a change is kept, counted and told', async () => {
  const address = receiver.address();
  const port = typeof address === 'object' && address ? address.port : 0;
  const operator = await service.client('O. Operator', 'operator');
  const subscribed = await operator.post('/v1/subscriptions', {
    url: `http://127.0.0.1:${port}/hook`,
    events: ['regression.changed'],
  });
  expect(subscribed.status).toBe(201);
  await service.startWorker({
    ...everySecond,
    DECKPACE_ENGINE: new URL('./engines/drifted.mjs', import.meta.url).href,
  });
  await until('told', async () => bodies.length > 0);
  expect(await latestRegression(service.redis)).toMatchObject({
    passed: false,
    disagreeing: ['single-span-bare'],
  });
  expect(JSON.parse(bodies[0]!)).toMatchObject({
    type: 'regression.changed',
    data: { disagreeing: ['single-span-bare'], verdicts: { change: 1 } },
  });
  expect(await metric('deckpace_regression_passed 0')).toBe(true);
  expect(await metric('deckpace_regression_scenarios{verdict="change"} 1')).toBe(true);
});

test('of a nightly run at most one part is computed between the parts of an assessment, and a worker that ends hands it on', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'deckpace-nightly-'));
  const trace = join(folder, 'trace');
  const computed = () => readFileSync(trace, { encoding: 'utf8', flag: 'a+' }).trim().split('\n');
  const busy = await Service.start({
    DECKPACE_NIGHTLY_CRON: '* * * * * *',
    DECKPACE_ENGINE: new URL('./engines/traced.mjs', import.meta.url).href,
    DECKPACE_TEST_TRACE: trace,
    DECKPACE_THREADS: '1',
  });
  try {
    const worker = await busy.startWorker();
    await until('the nightly run began', () => computed().length > 1);
    const engineer = await busy.client('E. Engineer', 'engineer');
    const trains = ['ours-1', 'ours-2', 'ours-3', 'ours-4', 'ours-5', 'ours-6'];
    const { body } = await engineer.post(
      '/v1/assessments?priority=post-event',
      scenarioOf('Event', ...trains),
    );
    await until('completed', async () => (await engineer.get(body.links.self)).body.state === 'completed');
    const order = computed();
    const ours = order.flatMap((line, index) => (line.startsWith('ours-') ? [index] : []));
    expect(ours).toHaveLength(trains.length);
    expect(ours.at(-1)! - ours[0]!).toBeLessThanOrEqual(trains.length);

    await worker.end('SIGTERM');
    expect(await latestRegression(busy.redis)).toBeNull();
    const ended = computed().length;
    await busy.startWorker({ DECKPACE_NIGHTLY_CRON: '0 0 1 1 *' });
    await until('the run begun again', () => computed().length > ended);
  } finally {
    await busy.stop();
    rmSync(folder, { recursive: true });
  }
});
