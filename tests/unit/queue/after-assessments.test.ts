import { pino } from 'pino';
import { expect, test, vi } from 'vitest';
import { readScenario } from '../../../scenarios/read-scenario.js';
import type { PartPool } from '../../../worker/part-pool.js';
import { afterAssessments } from '../../../worker/queue/after-assessments.js';
import { JobsInHand } from '../../../worker/queue/jobs-in-hand.js';
import { StoreWaitEnded, waitOutStore } from '../../../worker/queue/wait-out-store.js';
import { scenarioOf } from '../../service/support/scenario.js';

const log = pino({ level: 'silent' });
const loading = new Error('LOADING Redis is loading the dataset in memory');
const reading = readScenario(Buffer.from(JSON.stringify(scenarioOf('Nightly', 'calm'))));
if (!reading.ok) throw new Error('the scenario does not validate');
const { scenario } = reading;
const part = { damageCase: 'intact', trains: ['calm'] };
const started = new Error('started');

function pool() {
  return { threads: 1, run: vi.fn<PartPool['run']>().mockRejectedValue(started) };
}

const nothingInHand = new JobsInHand();

test('a part that can wait also waits for a queue that cannot be asked, and does not fail by it', async () => {
  const getJobCountByTypes = vi
    .fn<() => Promise<number>>()
    .mockRejectedValueOnce(loading)
    .mockResolvedValueOnce(1)
    .mockResolvedValueOnce(0);
  const patiently = waitOutStore(new AbortController().signal, log);
  const parts = pool();
  const ahead = { partQueue: { getJobCountByTypes }, inHand: nothingInHand };
  await expect(afterAssessments(parts, ahead)(patiently).run(scenario, part)).rejects.toBe(started);
  expect(getJobCountByTypes).toHaveBeenCalledTimes(3);
  expect(parts.run).toHaveBeenCalledTimes(1);
});

test('a worker that ends does not wait for the queue any longer, and starts nothing', async () => {
  const ending = new AbortController();
  const getJobCountByTypes = vi.fn(async () => {
    setImmediate(() => ending.abort());
    throw loading;
  });
  const parts = pool();
  const ahead = { partQueue: { getJobCountByTypes }, inHand: nothingInHand };
  const patiently = waitOutStore(ending.signal, log);
  const waited = afterAssessments(
    parts,
    ahead,
  )(patiently)
    .run(scenario, part, { signal: ending.signal })
    .catch((error: unknown) => error);
  expect(await waited).toBeInstanceOf(StoreWaitEnded);
  expect(parts.run).not.toHaveBeenCalled();
});

test('a part that can wait does not overtake one that has left the queue and whose scenario is still being read', async () => {
  const parts = pool();
  const inHand = new JobsInHand();
  const ahead = { partQueue: { getJobCountByTypes: async () => 0 }, inHand };
  const patiently = waitOutStore(new AbortController().signal, log);
  let waited: Promise<unknown> = Promise.resolve();
  await inHand.during({ id: 'a1_0', data: { id: 'a1' } }, async () => {
    waited = afterAssessments(
      parts,
      ahead,
    )(patiently)
      .run(scenario, part)
      .catch((error: unknown) => error);
    await new Promise((resolve) => setTimeout(resolve, 50));
    expect(parts.run).not.toHaveBeenCalled();
  });
  expect(await waited).toBe(started);
  expect(parts.run).toHaveBeenCalledTimes(1);
});

test('parts of two runs that can wait start one after the other, each after it has asked', async () => {
  const order: string[] = [];
  const ends: (() => void)[] = [];
  const run: PartPool['run'] = (_scenario, { trains }) =>
    new Promise((_resolve, reject) => {
      order.push(...trains);
      ends.push(() => reject(started));
    });
  const partQueue = {
    getJobCountByTypes: async () => {
      order.push('asked');
      return 0;
    },
  };
  const patiently = waitOutStore(new AbortController().signal, log);
  const runs = afterAssessments({ run, threads: 1 }, { partQueue, inHand: nothingInHand });
  const both = ['first', 'second'].map((train) =>
    runs(patiently)
      .run(scenario, { damageCase: 'intact', trains: [train] })
      .catch((error: unknown) => error),
  );
  await vi.waitFor(() => expect(order).toEqual(['asked', 'first']));
  ends[0]!();
  await vi.waitFor(() => expect(order).toEqual(['asked', 'first', 'asked', 'second']));
  ends[1]!();
  expect(await Promise.all(both)).toEqual([started, started]);
});
