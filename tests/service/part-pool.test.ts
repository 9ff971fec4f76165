import { afterEach, expect, test } from 'vitest';
import type { Scenario } from '../../scenarios/scenario.js';
import type { PartProgress } from '../../worker/assessment.js';
import { createPartPool, type PartPool, type PartPoolOptions } from '../../worker/part-pool.js';

const engine = new URL('./engines/faulty.mjs', import.meta.url);
const scenario = {} as Scenario;
let pool: PartPool;

function start(options: Partial<PartPoolOptions> = {}): PartPool {
  pool = createPartPool({ threads: 2, engine, ...options });
  return pool;
}
const run = (train: string, signal?: AbortSignal) =>
  pool.run(scenario, { damageCase: 'intact', trains: [train] }, signal ? { signal } : {});
afterEach(() => pool.close());

test('a part runs in a thread and reports its progress', async () => {
  start();
  const seen: PartProgress[] = [];
  const result = await pool.run(
    scenario,
    { damageCase: 'intact', trains: ['calm'] },
    { onProgress: (progress) => seen.push(progress) },
  );
  expect(result.trains.map((train) => train.train)).toEqual(['calm']);
  expect(seen.map((progress) => progress.fraction)).toEqual([0, 1]);
});

test('parts beyond the number of threads wait and all finish', async () => {
  start();
  const results = await Promise.all(Array.from({ length: 9 }, (_, index) => run(`busy-20-${index}`)));
  expect(results.map((result) => result.trains[0]?.train)).toEqual(
    Array.from({ length: 9 }, (_, index) => `busy-20-${index}`),
  );
});

test('a part that gives way starts after those that came later and do not', async () => {
  start({ threads: 1 });
  const ended: string[] = [];
  const note = (name: string) => () => ended.push(name);
  const giving = { damageCase: 'intact', trains: ['calm-nightly'] };
  await Promise.all([
    run('busy-100').then(note('first')),
    pool.run(scenario, giving, { giveWay: true }).then(note('nightly')),
    run('calm-a').then(note('a')),
    run('calm-b').then(note('b')),
  ]);
  expect(ended).toEqual(['first', 'a', 'b', 'nightly']);
});

test('a part that throws fails with its message, the next one runs', async () => {
  start();
  await expect(run('throw')).rejects.toMatchObject({
    name: 'PartFailed',
    thrown: 'RangeError',
    message: 'case intact, throw: the matrix is singular at row 7',
  });
  await expect(run('calm')).resolves.toBeDefined();
});

test('a part that exits the process ends its thread only', async () => {
  start();
  const neighbour = run('busy-200');
  await expect(run('exit')).rejects.toMatchObject({ name: 'PartCrashed' });
  await expect(neighbour).resolves.toBeDefined();
});

test('a part that fills its heap without end fails alone', async () => {
  start({ maxMegabytesPerPart: 64 });
  const neighbour = run('busy-300');
  await expect(run('hoard-heap')).rejects.toMatchObject({ name: 'PartLimitExceeded', limit: 'memory' });
  await expect(neighbour).resolves.toBeDefined();
});

test('a part that allocates typed arrays without end fails, its neighbour is repeated and finishes', async () => {
  start({ maxMegabytesPerPart: 256 });
  const neighbour = run('busy-1500');
  await expect(run('hoard-arrays')).rejects.toMatchObject({ name: 'PartLimitExceeded', limit: 'memory' });
  await expect(neighbour).resolves.toBeDefined();
});

test('a part that loops for ever is ended at its time limit', async () => {
  start({ maxSecondsPerPart: 0.3 });
  await expect(run('loop')).rejects.toMatchObject({ name: 'PartLimitExceeded', limit: 'time' });
  await expect(run('calm')).resolves.toBeDefined();
});

/** A part that loops for ever, once it runs. */
async function loopRunning(signal: AbortSignal): Promise<{ readonly looping: Promise<unknown> }> {
  return new Promise((resolve) => {
    const looping = pool.run(
      scenario,
      { damageCase: 'intact', trains: ['loop'] },
      { signal, onProgress: () => resolve({ looping }) },
    );
  });
}

test('cancelling ends a tight loop at once, before a second of work that begins then', async () => {
  start();
  const running = new AbortController();
  const { looping } = await loopRunning(running.signal);
  const ended: string[] = [];
  running.abort();
  const cancelled = expect(looping)
    .rejects.toMatchObject({ name: 'PartCancelled' })
    .then(() => ended.push('loop'));
  await Promise.all([cancelled, run('busy-1000').then(() => ended.push('work'))]);
  expect(ended).toEqual(['loop', 'work']);
});

test('cancelling ends a waiting part without starting it, and a running one makes way for the next', async () => {
  start({ threads: 1 });
  const running = new AbortController();
  const { looping } = await loopRunning(running.signal);
  const waiting = new AbortController();
  const queued = run('calm', waiting.signal);
  waiting.abort();
  await expect(queued).rejects.toMatchObject({ name: 'PartCancelled' });
  running.abort();
  await expect(looping).rejects.toMatchObject({ name: 'PartCancelled' });
  await expect(run('calm')).resolves.toBeDefined();
});

test('closing ends everything that runs or waits', async () => {
  start({ threads: 1 });
  const results = Promise.allSettled([run('loop'), run('calm')]);
  await pool.close();
  expect((await results).map((result) => result.status)).toEqual(['rejected', 'rejected']);
});
