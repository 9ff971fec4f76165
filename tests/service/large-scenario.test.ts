import { afterAll, beforeAll, expect, test } from 'vitest';
import submittedScenario from '../../api/submitted-scenario.js';
import { scenarioOf } from './support/scenario.js';
import { type Client, Service } from './support/service.js';

let service: Service;
let engineer: Client;
beforeAll(async () => {
  service = await Service.start();
  engineer = await service.client('E. Engineer', 'engineer');
});
afterAll(() => service.stop());

/** About 9 MB, valid. */
const largest = () => ({
  ...scenarioOf('Very large'),
  trains: Array.from({ length: 165 }, (_, index) => ({
    id: `T${index}`,
    axles: Array.from({ length: 2000 }, (_, axle) => ({ at_m: 2 * axle, load_kN: 100 })),
  })),
});

test('while a very large scenario is read, others are answered', async () => {
  const scenario = largest();
  const here = submittedScenario(Buffer.from(JSON.stringify(scenario)));

  let answered = false;
  const submission = engineer.post('/v1/assessments', scenario).finally(() => {
    answered = true;
  });
  const waits: number[] = [];
  while (!answered) {
    const asked = performance.now();
    expect((await fetch(`${service.url}/healthz`)).status).toBe(200);
    waits.push(performance.now() - asked);
  }
  const { status, body } = await submission;
  expect(status).toBe(202);
  expect(here).toMatchObject({ ok: true, sha256: body.scenario_sha256 });
  // Read where requests are answered, it would keep one of them waiting for longer than all the others together.
  const open = waits.reduce((sum, wait) => sum + wait, 0);
  expect(Math.max(...waits)).toBeLessThan(open / 2);
});

test('the faults of a large scenario are those that reading it here finds', async () => {
  const scenario = { ...largest(), supports: [], extra: 1 };
  const here = submittedScenario(Buffer.from(JSON.stringify(scenario)));
  const { status, body } = await engineer.post('/v1/assessments', scenario);
  expect(status).toBe(422);
  expect(here).toEqual({ ok: false, faults: body.faults });
});

test('bodies that are no scenario need not be large', async () => {
  const { status } = await engineer.post('/v1/restrictions', { assessment: 'x'.repeat(200_000) });
  expect(status).toBe(413);
});
