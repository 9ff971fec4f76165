import { afterAll, afterEach, beforeAll, expect, test, vi } from 'vitest';
import { engineName } from '../../worker/engine-version.js';
import { OtherVersion } from './support/other-version.js';
import { scenarioOf } from './support/scenario.js';
import { type Client, Service } from './support/service.js';
import { until } from './support/until.js';

vi.setConfig({ testTimeout: 240_000 });

let old: OtherVersion;
let service: Service;
let engineer: Client;

beforeAll(() => {
  old = new OtherVersion('0.0.9');
});
afterEach(() => service.stop());
afterAll(() => old.remove());

/** A service whose API is still the old one. */
async function startOld(settings: Readonly<Record<string, string>> = {}): Promise<void> {
  service = await Service.start(settings);
  await service.api?.end('SIGTERM');
  await service.startApi({}, old.fileOf);
  engineer = await service.client('E. Engineer', 'engineer');
}

async function submit(...trains: readonly string[]): Promise<string> {
  const { body } = await engineer.post('/v1/assessments', scenarioOf('Upgraded', ...trains));
  return body.id;
}

const read = async (id: string) => (await engineer.get(`/v1/assessments/${id}`)).body;

/** Of two workers either may be offered each step of an assessment, time and again. */
const finished = (id: string) =>
  until(
    `assessment ${id} finished`,
    async () => {
      const body = await read(id);
      return ['completed', 'failed', 'cancelled'].includes(body.state) && body;
    },
    200,
  );

const leftBy = (queue: string) =>
  until(
    `a job of ${queue} back in the queue`,
    async () => (await service.redis.zcard(`deckpace-queue:${queue}:delayed`)) > 0,
  );

test('what was submitted to the old API is left by a new worker and finished by an old one', async () => {
  await startOld();
  await service.startWorker();
  const id = await submit('calm-1', 'calm-2');
  await leftBy('assessments');
  expect(await read(id)).toMatchObject({ state: 'queued', engine: 'deckpace 0.0.9' });
  await service.startWorker({}, old.fileOf);
  expect(await finished(id)).toMatchObject({ state: 'completed', engine: 'deckpace 0.0.9' });
});

test('parts of the old version are left by new workers until an old one is there again', async () => {
  await startOld();
  const first = await service.startWorker({ DECKPACE_THREADS: '1', DECKPACE_GRACE_SECONDS: '0' }, old.fileOf);
  const id = await submit('busy-3000', 'calm');
  await until('a part running', async () => (await service.redis.llen('deckpace-queue:parts:active')) > 0);
  await first.end('SIGTERM');
  await service.startWorker();
  await leftBy('parts');
  await service.startWorker({}, old.fileOf);
  expect(await finished(id)).toMatchObject({ state: 'completed', engine: 'deckpace 0.0.9' });
});

test('both versions are assessed side by side, each by its own workers', async () => {
  await startOld();
  await service.startWorker();
  const before = await submit('calm');
  await leftBy('assessments');
  await service.api?.end('SIGTERM');
  await service.startApi();
  const after = await submit('calm');
  expect(await finished(after)).toMatchObject({ state: 'completed', engine: engineName() });
  await service.startWorker({}, old.fileOf);
  expect(await finished(before)).toMatchObject({ state: 'completed', engine: 'deckpace 0.0.9' });
});

test('what no worker of its version takes in time fails and says why', async () => {
  await startOld({ DECKPACE_ENGINE_WAIT_SECONDS: '1' });
  await service.startWorker();
  const { state, reason } = await finished(await submit('calm'));
  expect(state).toBe('failed');
  expect(reason).toContain(`submitted for deckpace 0.0.9`);
  expect(reason).toContain(`this one is ${engineName()}`);
  expect(reason).toContain('submit the scenario again');
});
