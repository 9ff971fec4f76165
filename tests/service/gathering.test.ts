import { afterEach, expect, test, vi } from 'vitest';
import { AssessmentRuns } from './support/assessment-runs.js';
import { until } from './support/until.js';

vi.setConfig({ testTimeout: 120_000 });

let runs: AssessmentRuns;
afterEach(() => runs.service.stop());

const engine = (name: string) => ({
  DECKPACE_ENGINE: new URL(`./engines/${name}.mjs`, import.meta.url).href,
});

const gathering = (id: string) =>
  until('gathering', async () => {
    const { body } = await runs.engineer.get(`/v1/assessments/${id}`);
    const active = await runs.service.redis.llen('deckpace-queue:assessments:active');
    return body.parts.length > 0 && body.progress === 1 && active === 1;
  });

test('gathering that does not end fails with its reason, and holds up no other assessment', async () => {
  runs = await AssessmentRuns.start({ ...engine('endless-gather'), DECKPACE_PART_SECONDS: '2' });
  await runs.service.startWorker();
  // As many as a worker gathers at once, and one more.
  const endless = await Promise.all([1, 2, 3, 4].map((number) => runs.submit(`endless-${number}`)));
  const other = await runs.submit('calm');
  expect(await Promise.all(endless.map((id) => runs.finished(id)))).toEqual(endless.map(() => 'failed'));
  expect(await runs.finished(other)).toBe('completed');
  const { body } = await runs.engineer.get(`/v1/assessments/${endless[0]}`);
  expect(body.reason).toBe('gathering the parts exceeded the time limit of 2 s');
});

test('gathering that takes more memory than a part may fails with its reason, and harms no part beside it', async () => {
  runs = await AssessmentRuns.start({ ...engine('endless-gather'), DECKPACE_PART_MEGABYTES: '256' });
  const worker = await runs.service.startWorker();
  const beside = await runs.submit('busy-12000');
  await runs.partRuns(beside);
  const id = await runs.submit('gathered-hoard');
  expect(await runs.finished(id)).toBe('failed');
  const { body } = await runs.engineer.get(`/v1/assessments/${id}`);
  expect(body.reason).toBe('gathering the parts exceeded the memory limit of 256 MB');
  // The memory is not laid to the part that runs beside it.
  expect(await runs.finished(beside)).toBe('completed');
  expect(worker.running).toBe(true);
});

test('cancelling ends the gathering, so that the next assessment is gathered', async () => {
  runs = await AssessmentRuns.start(engine('endless-gather'));
  await runs.service.startWorker();
  const id = await runs.submit('endless');
  await gathering(id);
  await runs.engineer.send('DELETE', `/v1/assessments/${id}`);
  expect(await runs.finished(await runs.submit('calm'))).toBe('completed');
  expect(await runs.stateOf(id)).toBe('cancelled');
});

test('a worker told to end hands back what it gathers after the grace period, and another completes it', async () => {
  runs = await AssessmentRuns.start({
    DECKPACE_GRACE_SECONDS: '0.3',
    DECKPACE_LOCK_SECONDS: '60',
    DECKPACE_STALLED_CHECK_SECONDS: '60',
  });
  const first = await runs.service.startWorker(engine('endless-gather'));
  const id = await runs.submit('endless');
  await gathering(id);
  await first.end('SIGTERM');
  expect(first.child.exitCode).toBe(0);
  expect(await runs.stateOf(id)).toBe('running');
  await runs.service.startWorker();
  expect(await runs.finished(id, 30)).toBe('completed');
});
