import { Queue } from 'bullmq';
import { afterAll, afterEach, beforeAll, expect, test, vi } from 'vitest';
import { queueNames, queuePrefix } from '../../worker/queue/queues.js';
import { announceWorker, presentWorkers, withdrawWorker } from '../../worker/service/worker-presence.js';
import { recordSubmission } from './support/record-submission.js';
import { scenarioOf } from './support/scenario.js';
import { Service } from './support/service.js';
import { until } from './support/until.js';

const HOUR_MILLISECONDS = 3_600_000;
let service: Service;

beforeAll(async () => {
  service = await Service.start();
});
afterEach(() => {
  vi.useRealTimers();
});
afterAll(() => service.stop());

test.each([HOUR_MILLISECONDS, -HOUR_MILLISECONDS])(
  'a worker that is there is not dropped by a process whose clock is %i ms off',
  async (off) => {
    await announceWorker(service.redis, 'host worker', 2, 1);
    vi.useFakeTimers({ toFake: ['Date'], now: Date.now() + off });
    expect(await presentWorkers(service.redis)).toMatchObject([{ id: 'host worker' }]);
    vi.useRealTimers();
    await withdrawWorker(service.redis, 'host worker');
  },
);

test('what recurs does not rest for an hour where the clock was set back by one', async () => {
  const schedules = new Queue(queueNames.schedules, {
    connection: { url: service.redisServer.url },
    prefix: queuePrefix,
  });
  vi.useFakeTimers({ toFake: ['Date'], now: Date.now() + HOUR_MILLISECONDS });
  await schedules.upsertJobScheduler('repair', { every: 15_000 }, { name: 'repair' });
  vi.useRealTimers();
  const next = async () => ((await schedules.getJobScheduler('repair'))?.next ?? 0) - Date.now();
  expect(await next()).toBeGreaterThan(HOUR_MILLISECONDS / 2);
  const worker = await service.startWorker();
  expect(await next()).toBeLessThanOrEqual(15_000);
  await worker.end('SIGTERM');
  await schedules.close();
});

test('what an API with its clock an hour ahead accepted, and then did not queue, is found all the same', async () => {
  const ahead = new Date(Date.now() + HOUR_MILLISECONDS);
  const { record } = await recordSubmission(service.redis, scenarioOf('Ahead', 'calm'), {}, ahead);
  await service.startWorker();
  const state = () => service.redis.hget(`deckpace:assessment:${record?.id}`, 'state');
  await until('completed', async () => (await state()) === 'completed', 40);
}, 60_000);

test('what a worker with its clock an hour ahead put off is given back, and what is put off by less is left', async () => {
  const { record } = await recordSubmission(service.redis, scenarioOf('Put off', 'calm'));
  const id = record?.id ?? '';
  const options = { connection: { url: service.redisServer.url }, prefix: queuePrefix };
  const assessments = new Queue(queueNames.assessments, options);
  await assessments.add('assessment', { id }, { jobId: id, delay: HOUR_MILLISECONDS, priority: 10 });
  const deliveries = new Queue(queueNames.deliveries, options);
  await deliveries.add('late', {}, { jobId: 'late', delay: 10 * 60_000 });
  await deliveries.add('late', {}, { jobId: 'later', delay: HOUR_MILLISECONDS });
  const worker = await service.startWorker();
  const state = () => service.redis.hget(`deckpace:assessment:${id}`, 'state');
  await until('completed', async () => (await state()) === 'completed', 40);
  await until('given back', async () => !(await deliveries.getDelayed()).some((job) => job.id === 'later'));
  expect((await deliveries.getDelayed()).map((job) => job.id)).toEqual(['late']);
  await worker.end('SIGTERM');
  await Promise.all([assessments, deliveries].map((queue) => queue.close()));
}, 90_000);
