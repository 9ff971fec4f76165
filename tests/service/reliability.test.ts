import { afterEach, expect, test, vi } from 'vitest';
import { AssessmentStore } from '../../worker/assessments/assessment-store.js';
import { compiledFile } from '../../worker/compiled-file.js';
import { AssessmentRuns } from './support/assessment-runs.js';
import { scenarioOf } from './support/scenario.js';
import type { Client, Service } from './support/service.js';
import { SlowLink } from './support/slow-link.js';
import { until } from './support/until.js';

// Bounded by what is waited for, not by the clock of a busy machine.
vi.setConfig({ testTimeout: 240_000 });

let service: Service;
let engineer: Client;
let runs: AssessmentRuns;
afterEach(() => service.stop());

async function start(settings?: Readonly<Record<string, string>>): Promise<void> {
  runs = await AssessmentRuns.start(settings);
  ({ service, engineer } = runs);
}

test('a worker killed mid-part twenty times in a row loses nothing and repeats no outcome', {
  timeout: 180_000,
}, async () => {
  await start({ DECKPACE_LOCK_SECONDS: '1', DECKPACE_STALLED_CHECK_SECONDS: '0.5' });
  // Longer than a life of the worker, so that every kill hits a part that has begun.
  const ids = await Promise.all(
    Array.from({ length: 4 }, (_, index) => runs.submit(`busy-2500-${index}`, `busy-300-${index}`)),
  );
  for (let kill = 0; kill < 20; kill += 1) {
    const begun = await runs.partsBegun(ids);
    const worker = await service.startWorker();
    await until('this worker computing a part', async () => (await runs.partsBegun(ids)) > begun);
    await worker.end('SIGKILL');
  }
  await service.startWorker();
  expect(await Promise.all(ids.map((id) => runs.finished(id)))).toEqual(ids.map(() => 'completed'));
  expect(await Promise.all(ids.map((id) => runs.timesFinished(id)))).toEqual(ids.map(() => 1));
});

test.each([
  ['recorded but not queued', (id: string) => `deckpace:assessment:${id}`],
  ['queued but not answered', (id: string) => `deckpace-queue:assessments:${id}`],
])(
  'the API killed when a submission is %s: the repeat with the same Idempotency-Key finds it',
  async (_moment, trace) => {
    await start();
    await service.api?.end('SIGKILL');
    // Answers of Redis reach the API late, so that it dies knowing nothing of what Redis has done already.
    const link = await SlowLink.to(service.redisServer.port, 400);
    await service.startApi({ REDIS_URL: `redis://127.0.0.1:${link.port}` });
    const scenario = scenarioOf('Cut off', 'calm');
    const send = () =>
      engineer.post('/v1/assessments?rerun=true', scenario, { 'idempotency-key': 'once-only' });
    const cut = send().catch((error: Error) => error);
    const id = await until(
      'the record',
      async () => (await service.redis.zrange('deckpace:assessments', '0', '0'))[0],
    );
    await until('the moment', async () => (await service.redis.exists(trace(id))) === 1);
    await service.api?.end('SIGKILL');
    expect(await cut).toBeInstanceOf(Error);
    link.close();

    await service.startApi();
    const repeated = await send();
    expect(repeated).toMatchObject({ status: 202, body: { id } });
    expect(repeated.headers.get('idempotency-replayed')).toBe('true');
    expect((await engineer.get('/v1/assessments')).body.items).toHaveLength(1);
    await service.startWorker();
    expect(await runs.finished(id)).toBe('completed');
    expect(await runs.timesFinished(id)).toBe(1);
  },
);

test('an assessment that was recorded but never queued is queued by a worker', async () => {
  await start();
  const id = await runs.submit('calm');
  // As if the API had died between the two steps, long enough ago.
  await service.redis.del(`deckpace-queue:assessments:${id}`);
  await service.redis.zrem('deckpace-queue:assessments:prioritized', id);
  const old = Date.now() - 60_000;
  await service.redis.zadd('deckpace:assessments', old, id);
  await service.redis.zadd('deckpace:assessments:queued', old, id);
  await service.startWorker();
  expect(await runs.finished(id)).toBe('completed');
});

test.each(['calm', 'throw'])(
  'a scenario (%s) whose assessment is no longer kept is run again, also while its old job is known',
  async (train) => {
    await start();
    await service.startWorker();
    const before = await runs.submit(train);
    const outcome = await runs.finished(before);
    // As after the days of retention.
    await service.redis.del(...(await service.redis.keys(`deckpace:assessment:${before}*`)));
    const begun = await service.redis.hgetall('deckpace:metrics');
    const after = await runs.submit(train);
    expect(await runs.finished(after)).toBe(outcome);
    expect(await service.redis.hgetall('deckpace:metrics')).not.toEqual(begun);
    expect(after).not.toBe(before);
  },
);

/** As if the worker had died before it recorded the end: the record is where it was while the assessment ran. */
async function recordAsRunning(id: string): Promise<void> {
  const old = Date.now() - 60_000;
  await service.redis.hset(`deckpace:assessment:${id}`, 'state', 'running');
  await service.redis.zrem('deckpace:assessments:completed', id);
  await service.redis.zadd('deckpace:assessments:running', old, id);
}

test('an accepted assessment whose job ended without an outcome is run again', async () => {
  await start();
  await service.startWorker();
  const id = await runs.submit('calm');
  expect(await runs.finished(id)).toBe('completed');
  await recordAsRunning(id);
  expect(await runs.finished(id)).toBe('completed');
});

test('parts whose jobs ended without a result are computed again', async () => {
  await start();
  const worker = await service.startWorker();
  const id = await runs.submit('calm-1', 'calm-2');
  expect(await runs.finished(id)).toBe('completed');
  await worker.end('SIGTERM');
  await recordAsRunning(id);
  // The parent's job is gone, those of its parts are known.
  await service.redis.del(`deckpace-queue:assessments:${id}`);
  await service.redis.zrem('deckpace-queue:assessments:completed', id);
  await service.startWorker();
  expect(await runs.finished(id)).toBe('completed');
  expect(await service.redis.hget('deckpace:metrics', 'outcome:completed')).toBe('4');
});

test('poison parts fail with their reason and harm no other assessment', async () => {
  await start({ DECKPACE_PART_SECONDS: '12', DECKPACE_PART_MEGABYTES: '256' });
  await service.startWorker();
  const poison = ['throw', 'exit', 'hoard-heap', 'hoard-arrays', 'loop'];
  const ids = await Promise.all(poison.map((train) => runs.submit(train)));
  const harmless = await Promise.all([1, 2, 3].map((number) => runs.submit(`busy-200-${number}`)));
  expect(await Promise.all(ids.map((id) => runs.finished(id)))).toEqual(poison.map(() => 'failed'));
  expect(await Promise.all(harmless.map((id) => runs.finished(id)))).toEqual(harmless.map(() => 'completed'));
  const reasons = await Promise.all(
    ids.map(async (id) => (await engineer.get(`/v1/assessments/${id}`)).body.reason),
  );
  expect(reasons[0]).toContain('the matrix is singular at row 7');
  expect(reasons[1]).toContain('ended unexpectedly');
  expect(reasons[2]).toContain('memory limit of 256 MB');
  expect(reasons[3]).toContain('memory limit of 256 MB');
  expect(reasons[4]).toContain('time limit of 12 s');
});

test('a thousand submissions of one scenario at once are one run', async () => {
  await start();
  await service.startWorker();
  const scenario = scenarioOf('A thousand times', 'busy-100');
  const answers = await Promise.all(
    Array.from({ length: 1000 }, () => engineer.post('/v1/assessments', scenario)),
  );
  expect(new Set(answers.map(({ status }) => status))).toEqual(new Set([202]));
  expect(new Set(answers.map(({ body }) => body.id)).size).toBe(1);
  expect(answers.filter(({ body }) => body.created)).toHaveLength(1);
  expect(await runs.finished(answers[0]!.body.id)).toBe('completed');
  expect(await runs.timesFinished(answers[0]!.body.id)).toBe(1);
  expect(await service.redis.hget('deckpace:metrics', 'outcome:completed')).toBe('1');
});

test('cancelling stops a running part within two seconds, on whichever worker it runs', async () => {
  await start();
  await service.startWorker({ DECKPACE_THREADS: '1' });
  await service.startWorker({ DECKPACE_THREADS: '1' });
  const id = await runs.submit('loop-1', 'loop-2', 'loop-3');
  await until(
    'two parts running',
    async () => (await service.redis.llen('deckpace-queue:parts:active')) === 2,
  );
  // The two seconds that api/README.md promises, from the request on.
  const before = performance.now();
  const cancelled = await engineer.send('DELETE', `/v1/assessments/${id}`);
  expect(cancelled.body).toMatchObject({ state: 'cancelled', reason: 'cancelled by E. Engineer' });
  await until(
    'no part running',
    async () => (await service.redis.llen('deckpace-queue:parts:active')) === 0,
    2,
  );
  expect(performance.now() - before).toBeLessThan(2000);
  expect(await runs.finished(await runs.submit('calm'))).toBe('completed');
  expect(await runs.stateOf(id)).toBe('cancelled');
});

/** Keys of an assessment that Redis would keep for ever. */
async function keptForEver(id: string): Promise<readonly string[]> {
  const keys = await service.redis.keys(`deckpace:assessment:${id}*`);
  const lives = await Promise.all(keys.map((key) => service.redis.ttl(key)));
  return keys.filter((_, index) => lives[index] === -1);
}

const noJobActive = (queue: string) =>
  until(
    `nothing of ${queue} under way`,
    async () => (await service.redis.llen(`deckpace-queue:${queue}:active`)) === 0,
  );

test('an assessment cancelled while it is gathered hands out nothing and leaves nothing behind', async () => {
  await start({ DECKPACE_ENGINE: new URL('./engines/slow-gather.mjs', import.meta.url).href });
  await service.startWorker();
  const id = await runs.submit('calm');
  await until('gathering', async () => {
    const { body } = await engineer.get(`/v1/assessments/${id}`);
    const active = await service.redis.llen('deckpace-queue:assessments:active');
    return body.parts.length > 0 && body.progress === 1 && active === 1;
  });
  await engineer.send('DELETE', `/v1/assessments/${id}`);
  await noJobActive('assessments');
  expect(await runs.stateOf(id)).toBe('cancelled');
  expect(await keptForEver(id)).toEqual([]);
  // As if it had been cancelled a moment later, when its outputs were stored.
  for (const name of ['result', 'report', 'sweeps']) {
    await service.redis.set(`deckpace:assessment:${id}:output:${name}`, 'stored');
  }
  for (const path of ['result', 'report', 'sweeps.csv']) {
    const refused = await engineer.get(`/v1/assessments/${id}/${path}`);
    expect([path, refused.status]).toEqual([path, 409]);
    expect(refused.body.detail).toContain('is cancelled (cancelled by E. Engineer)');
  }
});

test('what is computed after an assessment has ended is not kept', async () => {
  await start();
  const id = await runs.submit('calm');
  await engineer.send('DELETE', `/v1/assessments/${id}`);
  const store = new AssessmentStore(service.redis);
  const part = { damageCase: 'intact', trains: ['calm'] };
  expect(await store.plan(id, () => [part])).toBeNull();
  await store.saveProgress(id, 0, 0.5);
  await store.savePart(id, 0, {
    part,
    damageCase: {
      damage_case: 'intact',
      title: null,
      stable: true,
      mechanism: null,
      frequencies_Hz: [3.1],
      mode_shapes: [],
      statics: null,
      statics_released: null,
    },
    trains: [],
  });
  await store.saveOutputs(id, { result: '{}', report: '<!doctype html>', sweeps: 'speed_kmh' });
  const kept = ['', ':events', ':scenario'].map((end) => `deckpace:assessment:${id}${end}`);
  expect((await service.redis.keys(`deckpace:assessment:${id}*`)).sort()).toEqual(kept);
  expect(await keptForEver(id)).toEqual([]);
});

test('a worker told to end hands back what it cannot finish, and another completes it', async () => {
  await start({
    DECKPACE_GRACE_SECONDS: '0.3',
    DECKPACE_LOCK_SECONDS: '60',
    DECKPACE_STALLED_CHECK_SECONDS: '60',
  });
  const first = await service.startWorker();
  const id = await runs.submit('busy-4000');
  await until(
    'the part running',
    async () => (await service.redis.llen('deckpace-queue:parts:active')) === 1,
  );
  await first.end('SIGTERM');
  expect(first.child.exitCode).toBe(0);
  await service.startWorker();
  // Far sooner than the lock would have run out: it was handed back.
  expect(await runs.finished(id, 30)).toBe('completed');
});

test('a worker told to end does not wait for the nightly regression: another begins it again', async () => {
  await start({ DECKPACE_GRACE_SECONDS: '0.3' });
  const nightly = {
    DECKPACE_NIGHTLY_CRON: '* * * * * *',
    DECKPACE_ENGINE: compiledFile('worker/engine.js').href,
  };
  const worker = await service.startWorker(nightly);
  const jobsIn = async (list: string) =>
    (await service.redis.lrange(`deckpace-queue:schedules:${list}`, 0, -1)).filter((id) =>
      id.includes('nightly'),
    );
  const [job] = await until('the regression running', async () => {
    const active = await jobsIn('active');
    return active.length > 0 && active;
  });
  await worker.end('SIGTERM');
  expect(worker.child.exitCode).toBe(0);
  expect(await jobsIn('wait')).toContain(job);
  expect(await jobsIn('active')).toEqual([]);
});

test('a worker told to end while it starts ends in order', async () => {
  await start();
  const link = await SlowLink.to(service.redisServer.port, 300);
  const starting = service.startWorker({ REDIS_URL: `redis://127.0.0.1:${link.port}` });
  await until(
    'its schedules registered',
    async () => (await service.redis.exists('deckpace-queue:schedules:repeat')) === 1,
  );
  const worker = [...service.processes].at(-1)!;
  expect(worker.output).not.toContain('worker ready');
  await Promise.all([starting, worker.end('SIGTERM')]);
  expect(worker.child.exitCode).toBe(0);
  expect(await service.redis.exists('deckpace:workers')).toBe(0);
  link.close();
});

test('what happened after an event overtakes what is nightly', async () => {
  await start();
  const nightly = await engineer.post(
    '/v1/assessments?priority=nightly',
    scenarioOf('Nightly', 'busy-300-n', 'busy-301-n', 'busy-302-n'),
  );
  const urgent = await engineer.post(
    '/v1/assessments?priority=post-event',
    scenarioOf('Urgent', 'busy-300-u', 'busy-301-u'),
  );
  await service.startWorker({ DECKPACE_THREADS: '1' });
  await Promise.all([runs.finished(nightly.body.id), runs.finished(urgent.body.id)]);
  const [late, early] = await Promise.all(
    [nightly, urgent].map(async ({ body }) => (await engineer.get(body.links.self)).body.finished_at),
  );
  expect(Date.parse(early)).toBeLessThan(Date.parse(late));
});

test('an assessment that is waiting is hurried when somebody asks for it after an event', async () => {
  await start();
  const scenario = scenarioOf('Known', 'busy-200-known', 'busy-201-known');
  const nightly = await engineer.post('/v1/assessments?priority=nightly', scenario);
  const others = await Promise.all([1, 2, 3, 4].map((number) => runs.submit(`busy-300-other-${number}`)));
  const urgent = await engineer.post('/v1/assessments?priority=post-event', scenario);
  expect(urgent.body).toMatchObject({ id: nightly.body.id, created: false, priority: 'post-event' });
  await service.startWorker({ DECKPACE_THREADS: '1' });
  await Promise.all([nightly.body.id, ...others].map((id) => runs.finished(id)));
  const ends = await Promise.all(
    [nightly.body.id, ...others].map(async (id) =>
      Date.parse((await engineer.get(`/v1/assessments/${id}`)).body.finished_at),
    ),
  );
  // All others were planned at the same time; of their parts none but the one under way came before.
  expect(ends.slice(1).filter((end) => end < ends[0]!).length).toBeLessThanOrEqual(1);
});
