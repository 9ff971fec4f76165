import { once } from 'node:events';
import { createServer } from 'node:http';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { compiledFile } from '../../worker/compiled-file.js';
import { latestRegression } from '../../worker/regression/regression-record.js';
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
