import { Queue, Worker } from 'bullmq';
import { Redis } from 'ioredis';
import { afterAll, afterEach, beforeAll, expect, test, vi } from 'vitest';
import { registerSchedule, reviveSchedule } from '../../worker/queue/keep-schedule.js';
import { queueNames, queuePrefix } from '../../worker/queue/queues.js';
import { RedisServer } from './support/redis-server.js';
import { until } from './support/until.js';

const nightly = { pattern: '30 1 * * *', tz: 'UTC' } as const;
const later = { pattern: '30 2 * * *', tz: 'UTC' } as const;
const everyQuarterMinute = { every: 15_000 };
let server: RedisServer;
let redis: Redis;
let queue: Queue;

beforeAll(async () => {
  server = await RedisServer.givenOrStarted();
  redis = new Redis(server.url, { maxRetriesPerRequest: null });
  queue = new Queue(queueNames.schedules, { connection: redis, prefix: queuePrefix });
});
afterEach(async () => {
  vi.useRealTimers();
  await redis.flushall();
});
afterAll(async () => {
  await queue.close();
  redis.disconnect();
  await server.stop();
});

function setClock(time: string): void {
  vi.useFakeTimers({ toFake: ['Date'], now: Date.parse(time) });
}
/** What is planned, from the jobs that are there: when they are due. */
async function due(): Promise<readonly string[]> {
  const jobs = await queue.getJobs(['delayed', 'waiting']);
  return jobs.map((job) => new Date(job.timestamp + job.delay).toISOString()).sort();
}
/** Names of the jobs that a worker finds due by its clock, after it has begun every one of them. */
async function runWhatIsDue(jobs: number): Promise<readonly string[]> {
  const run: string[] = [];
  const worker = new Worker(queueNames.schedules, async ({ name }) => void run.push(name), {
    connection: redis,
    prefix: queuePrefix,
  });
  await until('run', () => run.length >= jobs);
  await worker.close();
  return run;
}

test('a nightly run that came due while no worker was there is made up for once', async () => {
  setClock('2026-03-29T01:00:00Z');
  await registerSchedule(queue, 'nightly', nightly);
  setClock('2026-03-29T01:45:00Z');
  for (let start = 0; start < 3; start += 1) await registerSchedule(queue, 'nightly', nightly);
  expect(await due()).toEqual(['2026-03-29T01:30:00.000Z']);
  expect(await runWhatIsDue(1)).toEqual(['nightly']);
  for (let start = 0; start < 3; start += 1) await registerSchedule(queue, 'nightly', nightly);
  expect(await due()).toEqual(['2026-03-30T01:30:00.000Z']);
});

test('a worker that starts with a clock behind the one that ran tonight plans no second run of tonight', async () => {
  setClock('2026-03-29T01:00:00Z');
  await registerSchedule(queue, 'nightly', nightly);
  setClock('2026-03-29T01:30:01Z');
  await runWhatIsDue(1);
  setClock('2026-03-29T01:29:58Z');
  await registerSchedule(queue, 'nightly', nightly);
  expect(await due()).toEqual(['2026-03-30T01:30:00.000Z']);
});

test.each([
  ['nightly', nightly, '2026-03-29T01:30:00.000Z'],
  // The first quarter of a minute that has not been run.
  ['repair', everyQuarterMinute, '2026-03-29T01:00:15.000Z'],
] as const)(
  'what was planned, and run, by a clock that was days ahead is planned anew: %s',
  async (id, when, next) => {
    for (const time of ['2026-03-29T01:00:00Z', '2026-04-05T01:00:00Z']) {
      setClock(time);
      await registerSchedule(queue, id, when);
      setClock(time.replace('01:00:00', '01:30:01'));
      await runWhatIsDue(1);
    }
    setClock('2026-03-29T01:00:00Z');
    await registerSchedule(queue, id, when);
    expect(await due()).toEqual([next]);
  },
);

test('workers with different patterns that start at the same time leave one run a night, and without a pattern none', async () => {
  setClock('2026-03-29T01:00:00Z');
  for (let start = 0; start < 20; start += 1) {
    await Promise.all([
      registerSchedule(queue, 'nightly', nightly),
      registerSchedule(queue, 'nightly', later),
      reviveSchedule(queue, 'nightly', nightly, Date.now()),
    ]);
    expect(await queue.getJobSchedulers()).toHaveLength(1);
    expect(await due()).toHaveLength(1);
  }
  await registerSchedule(queue, 'nightly', null);
  expect(await queue.getJobSchedulers()).toEqual([]);
  expect(await due()).toEqual([]);
  expect(await reviveSchedule(queue, 'nightly', nightly, Date.now())).toBe(false);
  expect(await due()).toEqual([]);
});

test.each([
  ['nightly', nightly],
  ['repair', everyQuarterMinute],
] as const)(
  'a schedule whose next job is gone is planned anew, and one that has it is left alone: %s',
  async (id, when) => {
    await registerSchedule(queue, id, when);
    const planned = await due();
    expect(await reviveSchedule(queue, id, when, Date.now())).toBe(false);
    expect(await due()).toEqual(planned);
    for (const lost of ['its place', 'all of it']) {
      const [job] = await queue.getJobs(['delayed', 'waiting']);
      for (const list of ['delayed', 'prioritized']) await redis.zrem(queue.toKey(list), job?.id ?? '');
      await redis.lrem(queue.toKey('wait'), 1, job?.id ?? '');
      if (lost === 'all of it') await redis.del(queue.toKey(job?.id ?? ''));
      expect(await due()).toEqual([]);
      expect(await reviveSchedule(queue, id, when, Date.now())).toBe(true);
      expect(await due()).toHaveLength(1);
    }
  },
);

test.each([
  ['repair', everyQuarterMinute],
  ['nightly', nightly],
] as const)('what recurs (%s) and was planned by a clock a week ahead is planned anew', async (id, when) => {
  setClock('2026-04-05T01:00:00Z');
  await registerSchedule(queue, id, when);
  // What recurs every so many seconds is first run at once.
  if ('every' in when) await runWhatIsDue(1);
  setClock('2026-03-29T01:00:00Z');
  expect(await reviveSchedule(queue, id, when, Date.now())).toBe(true);
  const [next = '', ...others] = await due();
  expect(others).toEqual([]);
  expect(Date.parse(next)).toBeLessThanOrEqual(Date.parse('2026-03-29T01:30:00Z'));
  expect(await reviveSchedule(queue, id, when, Date.now())).toBe(false);
});

test('a run that is rarer than this worker would have it is none of a clock that was ahead', async () => {
  setClock('2026-03-29T01:00:00Z');
  await registerSchedule(queue, 'nightly', { pattern: '30 1 1 * *', tz: 'UTC' });
  expect(await reviveSchedule(queue, 'nightly', nightly, Date.now())).toBe(false);
  expect(await due()).toEqual(['2026-04-01T01:30:00.000Z']);
});
