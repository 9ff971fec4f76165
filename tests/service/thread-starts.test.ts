import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { ScenarioReader } from '../../api/scenario-reader.js';
import submittedScenario from '../../api/submitted-scenario.js';
import type { Scenario } from '../../scenarios/scenario.js';
import { createPartPool, type PartPool, type PartPoolOptions } from '../../worker/part-pool.js';
import { TaskThreads } from '../../worker/threads/task-threads.js';
import { AssessmentRuns } from './support/assessment-runs.js';
import { scenarioOf } from './support/scenario.js';

/** As many threads as the machine still gives. */
const machine = vi.hoisted(() => ({ threadsLeft: Number.POSITIVE_INFINITY }));
vi.mock('node:worker_threads', async (original) => {
  const real = await original<typeof import('node:worker_threads')>();
  class Worker extends real.Worker {
    constructor(...given: ConstructorParameters<typeof real.Worker>) {
      machine.threadsLeft -= 1;
      // As Node says it where the system refuses one more.
      if (machine.threadsLeft < 0)
        throw Object.assign(new Error('Worker initialization failure: EAGAIN'), {
          code: 'ERR_WORKER_INIT_FAILED',
        });
      super(...given);
    }
  }
  return { ...real, Worker };
});

const engineFile = (name: string) => new URL(`./engines/${name}`, import.meta.url);
const scenario = {} as Scenario;
let faults: Error[];
let pool: PartPool | null = null;
let runs: AssessmentRuns | null = null;

beforeEach(() => {
  faults = [];
  machine.threadsLeft = Number.POSITIVE_INFINITY;
});
afterEach(async () => {
  await pool?.close();
  await runs?.service.stop();
  pool = null;
  runs = null;
});

/** @returns runs a part of one train */
function start(options: Partial<PartPoolOptions> = {}) {
  const onThreadFault = (error: Error) => faults.push(error);
  const started = createPartPool({ threads: 2, engine: engineFile('faulty.mjs'), onThreadFault, ...options });
  pool = started;
  return (train: string) => started.run(scenario, { damageCase: 'intact', trains: [train] });
}

test('a part for which the machine refuses a thread fails at once and says so, and the pool goes on', async () => {
  const run = start();
  machine.threadsLeft = 1;
  const neighbour = run('busy-300');
  await expect(run('calm')).rejects.toMatchObject({
    name: 'PartNotStarted',
    curable: true,
    message: expect.stringMatching(
      /^case intact, calm: .*\(Worker initialization failure: EAGAIN\).*DECKPACE_THREADS/,
    ),
  });
  expect(faults.map(({ name }) => name)).toEqual(['ThreadNotStarted']);
  await expect(neighbour).resolves.toBeDefined();
  machine.threadsLeft = Number.POSITIVE_INFINITY;
  await expect(Promise.all([run('calm'), run('calm')])).resolves.toHaveLength(2);
});

test.each([
  ['absent.mjs', /Cannot find module .*absent\.mjs/],
  ['broken-in-threads.mjs', /a file of the engine is missing/],
])(
  'a part whose engine (%s) cannot be loaded fails at once and says so, and so does the next',
  async (file, why) => {
    const run = start({ engine: engineFile(file), threads: 1 });
    const incurable = { name: 'PartNotStarted', curable: false, message: expect.stringMatching(why) };
    const ended = await Promise.allSettled([run('calm'), run('calm')]);
    expect(ended).toMatchObject([{ reason: incurable }, { reason: incurable }]);
    expect(faults.map(({ message }) => message)).toEqual([
      expect.stringMatching(why),
      expect.stringMatching(why),
    ]);
  },
);

test('a task of threads whose module is missing is rejected, and so is the one that waited for it', async () => {
  const threads = new TaskThreads<string, string>({
    module: engineFile('absent.mjs'),
    threads: 1,
    onFault: (error) => faults.push(error),
  });
  const ended = await Promise.allSettled([threads.run('first'), threads.run('second')]);
  const reason = { name: 'ThreadNotStarted', message: expect.stringMatching(/absent\.mjs/) };
  expect(ended).toMatchObject([{ reason }, { reason }]);
  expect(faults).toHaveLength(2);
  await threads.close();
});

test('a large scenario for which there is no thread is read without one', async () => {
  machine.threadsLeft = 0;
  const reader = new ScenarioReader({ error: ({ error }: { readonly error: Error }) => faults.push(error) });
  const bytes = Buffer.from(JSON.stringify({ ...scenarioOf('Large', 'calm'), notes: ' '.repeat(300_000) }));
  expect(await reader.read(bytes)).toEqual(submittedScenario(bytes));
  expect(faults.map(({ name }) => name)).toEqual(['ThreadNotStarted']);
  await reader.close();
});

test('parts that the machine had nothing to spare for are tried again', async () => {
  runs = await AssessmentRuns.start({
    DECKPACE_ENGINE: engineFile('refused.mjs').href,
    DECKPACE_THREADS: '1',
  });
  const worker = await runs.service.startWorker();
  expect(await runs.finished(await runs.submit('calm'))).toBe('completed');
  expect(worker.output).toMatch(/"msg":"thread ended"/);
});

test('a gathering that the machine had nothing to spare for is tried again, and no part is computed twice', async () => {
  runs = await AssessmentRuns.start({
    DECKPACE_ENGINE: engineFile('refused-gather.mjs').href,
    DECKPACE_THREADS: '1',
  });
  const worker = await runs.service.startWorker();
  const id = await runs.submit('calm');
  expect(await runs.finished(id)).toBe('completed');
  expect(worker.output).toContain('too many open files');
  expect(await runs.partsBegun([id])).toBe(1);
});

test('an assessment whose engine no thread can load fails with that reason', async () => {
  runs = await AssessmentRuns.start({ DECKPACE_ENGINE: engineFile('broken-in-threads.mjs').href });
  await runs.service.startWorker();
  const id = await runs.submit('calm');
  expect(await runs.finished(id)).toBe('failed');
  const { body } = await runs.engineer.get(`/v1/assessments/${id}`);
  expect(JSON.stringify(body)).toContain('could not be started (a file of the engine is missing)');
});
