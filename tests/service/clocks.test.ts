import { afterAll, afterEach, beforeAll, expect, test, vi } from 'vitest';
import { readScenario } from '../../scenarios/read-scenario.js';
import { submitAssessment } from '../../worker/assessments/submit-assessment.js';
import { engineName } from '../../worker/engine-version.js';
import { announceWorker, presentWorkers, withdrawWorker } from '../../worker/service/worker-presence.js';
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

test('what an API with its clock an hour ahead accepted, and then did not queue, is found all the same', async () => {
  const scenario = Buffer.from(JSON.stringify(scenarioOf('Ahead', 'calm')));
  const reading = readScenario(scenario);
  if (!reading.ok) throw new Error('no valid scenario');
  const { record } = await submitAssessment(
    service.redis,
    {
      scenario,
      scenarioSha256: reading.sha256,
      title: reading.scenario.title,
      engine: engineName(),
      priority: 'ordinary',
      submittedBy: 'E. Engineer',
      keyId: 'none',
      again: false,
      idempotencyKey: null,
    },
    new Date(Date.now() + HOUR_MILLISECONDS),
  );
  await service.startWorker();
  const state = () => service.redis.hget(`deckpace:assessment:${record?.id}`, 'state');
  await until('completed', async () => (await state()) === 'completed', 40);
}, 60_000);
