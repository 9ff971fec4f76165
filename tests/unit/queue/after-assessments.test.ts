import { pino } from 'pino';
import { expect, test, vi } from 'vitest';
import { readScenario } from '../../../scenarios/read-scenario.js';
import type { PartPool } from '../../../worker/part-pool.js';
import { afterAssessments } from '../../../worker/queue/after-assessments.js';
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
  return { run: vi.fn<PartPool['run']>().mockRejectedValue(started) };
}

test('a part that can wait also waits for a queue that cannot be asked, and does not fail by it', async () => {
  const getJobCountByTypes = vi
    .fn<() => Promise<number>>()
    .mockRejectedValueOnce(loading)
    .mockResolvedValueOnce(1)
    .mockResolvedValueOnce(0);
  const patiently = waitOutStore(new AbortController().signal, log);
  const { run } = pool();
  await expect(afterAssessments({ run }, { getJobCountByTypes }, patiently).run(scenario, part)).rejects.toBe(
    started,
  );
  expect(getJobCountByTypes).toHaveBeenCalledTimes(3);
  expect(run).toHaveBeenCalledTimes(1);
});

test('a worker that ends does not wait for the queue any longer, and starts nothing', async () => {
  const ending = new AbortController();
  const getJobCountByTypes = vi.fn(async () => {
    setImmediate(() => ending.abort());
    throw loading;
  });
  const { run } = pool();
  const waited = afterAssessments({ run }, { getJobCountByTypes }, waitOutStore(ending.signal, log))
    .run(scenario, part, { signal: ending.signal })
    .catch((error: unknown) => error);
  expect(await waited).toBeInstanceOf(StoreWaitEnded);
  expect(run).not.toHaveBeenCalled();
});
