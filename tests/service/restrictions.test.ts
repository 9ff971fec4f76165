import { afterAll, beforeAll, expect, test } from 'vitest';
import { someTerms } from './support/restriction-terms.js';
import { scenarioOf } from './support/scenario.js';
import { Client, Service } from './support/service.js';
import { SlowLink } from './support/slow-link.js';
import { until } from './support/until.js';

let service: Service;
let engineer: Client;
let approver: Client;
let operator: Client;
let both: Client;

beforeAll(async () => {
  service = await Service.start({ DECKPACE_RETENTION_DAYS: '0.001' });
  await service.startWorker();
  engineer = await service.client('E. Engineer', 'engineer');
  approver = await service.client('A. Approver', 'approver');
  operator = await service.client('O. Operator', 'operator');
  both = await service.client('E. Engineer', 'engineer', 'approver');
});
afterAll(() => service.stop());

async function assessed(...trains: readonly string[]): Promise<string> {
  const { body } = await engineer.post('/v1/assessments', scenarioOf(`With ${trains.join()}`, ...trains));
  await until('completed', async () => (await engineer.get(body.links.self)).body.state === 'completed');
  return body.id;
}
const of = (assessment: string, more = {}) => ({
  assessment,
  damage_case: 'intact',
  class: 'passenger',
  ...more,
});
const inForce = async () =>
  (await operator.get('/v1/restrictions?state=in-force')).body.items.map((item: { id: string }) => item.id);

test('a speed that is given twice is refused: nobody knows which was meant', async () => {
  const assessment = await assessed('calm');
  const post = (path: string, body: string) =>
    engineer.fetch('POST', path, { headers: { 'content-type': 'application/json' }, body });
  const terms = JSON.stringify(of(assessment, { permitted_speed_kmh: 20, lowered_because: 'bad track' }));
  const answer = await post('/v1/restrictions', terms.replace(/}$/, ',"permitted_speed_kmh":80}'));
  expect(answer.status).toBe(422);
  expect(await answer.json()).toMatchObject({
    type: 'urn:deckpace:problem:invalid-request',
    faults: [{ pointer: '/permitted_speed_kmh', code: 'duplicate-key' }],
  });
});

test('a draft comes into force when somebody else approves it, and its history says who and when', async () => {
  const drafted = await engineer.post('/v1/restrictions', of(await assessed('calm')));
  expect(drafted.status).toBe(201);
  const { id } = drafted.body;
  expect(drafted.body).toMatchObject({
    state: 'draft',
    permitted_speed_kmh: 80,
    speeds_hold: 'Speeds hold for trains in either direction.',
    from_chainage_km: 12.34,
  });
  expect(await inForce()).not.toContain(id);

  expect((await engineer.post(`/v1/restrictions/${id}/approval`, {})).status).toBe(403);
  const byAuthor = await both.post(`/v1/restrictions/${id}/approval`, {});
  expect(byAuthor).toMatchObject({
    status: 403,
    body: { type: 'urn:deckpace:problem:author-cannot-approve' },
  });
  expect((await operator.post(`/v1/restrictions/${id}/approval`, {})).status).toBe(403);
  expect(await inForce()).not.toContain(id);

  const approved = await approver.post(`/v1/restrictions/${id}/approval`, { reason: 'Checked on site.' });
  expect(approved).toMatchObject({ status: 200, body: { state: 'in-force', approved_by: 'A. Approver' } });
  expect(await inForce()).toContain(id);
  expect((await approver.post(`/v1/restrictions/${id}/approval`, {})).status).toBe(409);

  const { body } = await operator.get(`/v1/restrictions/${id}/history`);
  expect(
    body.items.map((event: { type: string; by: { holder: string } }) => [event.type, event.by.holder]),
  ).toEqual([
    ['drafted', 'E. Engineer'],
    ['approved', 'A. Approver'],
  ]);
  expect((await operator.get(`/v1/restrictions/${id}/report`)).body).toContain('<!doctype html>');
});

test('a restriction of a former version, which does not say for which directions and tracks it holds, is read and approved as ever', async () => {
  const id = 'r0123456789abcdef';
  const { speeds_hold: _, ...terms } = someTerms;
  const by = { holder: 'E. Engineer', key: 'k1' };
  const common = { sequence: 1, restriction: id, at: new Date().toISOString(), by, why: null };
  const former = { type: 'drafted', ...common, previous_sha256: null, terms };
  await service.redis.rpush(`deckpace:restriction:${id}:history`, JSON.stringify(former));
  const approved = await approver.post(`/v1/restrictions/${id}/approval`, {});
  expect(approved).toMatchObject({ status: 200, body: { state: 'in-force', speeds_hold: null } });
  expect(await inForce()).toContain(id);
});

test('an assessment under a restriction outlives the retention', async () => {
  const assessment = await assessed('calm', 'closed');
  expect(await service.redis.ttl(`deckpace:assessment:${assessment}:output:report`)).toBeGreaterThan(0);
  await engineer.post('/v1/restrictions', of(assessment));
  for (const key of await service.redis.keys(`deckpace:assessment:${assessment}*`)) {
    expect([key, await service.redis.ttl(key)]).toEqual([key, -1]);
  }
});

test('a scenario whose assessment is under a restriction is not run again, however old it is', async () => {
  const assessment = await assessed('calm', 'line-speed');
  await engineer.post('/v1/restrictions', of(assessment));
  const scenario = scenarioOf('With calm,line-speed', 'calm', 'line-speed');
  const rerun = await engineer.post('/v1/assessments?rerun=true', scenario);
  await until(
    'completed',
    async () => (await engineer.get(rerun.body.links.self)).body.state === 'completed',
  );
  // As after the days of retention.
  await service.redis.del(...(await service.redis.keys(`deckpace:assessment:${rerun.body.id}*`)));
  const again = await engineer.post('/v1/assessments', scenario);
  expect(again.body).toMatchObject({ id: assessment, created: false, state: 'completed' });
});

test('a draft that is refused keeps no assessment for ever', async () => {
  const assessment = await assessed('calm', 'undetermined');
  const refused = await engineer.post('/v1/restrictions', of(assessment, { permitted_speed_kmh: 100 }));
  expect(refused.status).toBe(422);
  for (const key of await service.redis.keys(`deckpace:assessment:${assessment}*`)) {
    expect([key, (await service.redis.ttl(key)) > 0]).toEqual([key, true]);
  }
  expect(await service.redis.hget(`deckpace:assessment:${assessment}`, 'pinned')).toBeNull();
});

test.each(['closed', 'undetermined'])('a case that is %s can only become a closure', async (train) => {
  const assessment = await assessed(train);
  const refused = await engineer.post('/v1/restrictions', of(assessment, { permitted_speed_kmh: 10 }));
  expect(refused).toMatchObject({ status: 422 });
  expect(refused.body.detail).toContain('only become a closure');
  const closure = await engineer.post('/v1/restrictions', of(assessment));
  expect(closure.body).toMatchObject({ kind: 'closure', permitted_speed_kmh: null });
});

test('never higher than recommended, lower only with a reason', async () => {
  const assessment = await assessed('calm');
  const draft = (more: object) => engineer.post('/v1/restrictions', of(assessment, more));
  expect((await draft({ permitted_speed_kmh: 81 })).status).toBe(422);
  expect((await draft({ permitted_speed_kmh: 60 })).status).toBe(422);
  expect(await draft({ permitted_speed_kmh: 60, lowered_because: 'Night works.' })).toMatchObject({
    status: 201,
    body: { permitted_speed_kmh: 60, recommended_speed_kmh: 80, lowered_because: 'Night works.' },
  });
});

test('a superseded restriction names its successor; of two successors only one comes into force', async () => {
  const assessment = await assessed('calm');
  const first = (await engineer.post('/v1/restrictions', of(assessment))).body.id;
  await approver.post(`/v1/restrictions/${first}/approval`, {});
  const successor = async () =>
    (await engineer.post('/v1/restrictions', of(assessment, { supersedes: first }))).body.id;
  const candidates = [await successor(), await successor()];
  const approvals = await Promise.all(
    candidates.map((id) => approver.post(`/v1/restrictions/${id}/approval`, {})),
  );
  expect(approvals.map(({ status }) => status).sort()).toEqual([200, 409]);
  const winner = candidates[approvals.findIndex(({ status }) => status === 200)];
  expect((await operator.get(`/v1/restrictions/${first}`)).body).toMatchObject({
    state: 'superseded',
    successor: winner,
  });
  expect(await inForce()).toContain(winner);
  expect(await inForce()).not.toContain(first);
});

test('withdrawing takes a reason and an approver', async () => {
  const { id } = (await engineer.post('/v1/restrictions', of(await assessed('calm')))).body;
  await approver.post(`/v1/restrictions/${id}/approval`, {});
  expect((await engineer.post(`/v1/restrictions/${id}/withdrawal`, { reason: 'Repaired.' })).status).toBe(
    403,
  );
  expect((await approver.post(`/v1/restrictions/${id}/withdrawal`, {})).status).toBe(422);
  expect(await approver.post(`/v1/restrictions/${id}/withdrawal`, { reason: 'Repaired.' })).toMatchObject({
    status: 200,
    body: { state: 'withdrawn' },
  });
  expect(await inForce()).not.toContain(id);
  const { body } = await engineer.get(`/v1/restrictions/${id}/history`);
  expect(body.items.at(-1)).toMatchObject({
    type: 'withdrawn',
    why: 'Repaired.',
    by: { holder: 'A. Approver' },
  });
});

test('a history that was changed afterwards is not believed', async () => {
  const { id } = (await engineer.post('/v1/restrictions', of(await assessed('calm')))).body;
  await approver.post(`/v1/restrictions/${id}/approval`, {});
  const key = `deckpace:restriction:${id}:history`;
  const draft = await service.redis.lindex(key, 0);
  await service.redis.lset(key, 0, draft!.replace('"permitted_speed_kmh":80', '"permitted_speed_kmh":160'));
  expect((await operator.get(`/v1/restrictions/${id}`)).status).toBe(500);
  await service.redis.lset(key, 0, draft!);
});

test('a repeated draft under one Idempotency-Key is one draft', async () => {
  const body = of(await assessed('calm'));
  const send = (more = {}) =>
    engineer.post('/v1/restrictions', { ...body, ...more }, { 'idempotency-key': 'draft-1' });
  const answers = await Promise.all([send(), send(), send()]);
  const created = answers.filter(({ status }) => status === 201);
  const last = await send();
  expect(last.headers.get('idempotency-replayed')).toBe('true');
  for (const answer of created) expect(answer.body.id).toBe(last.body.id);
  for (const answer of answers) expect([201, 409]).toContain(answer.status);
  expect((await send({ lowered_because: 'Something else.' })).status).toBe(422);
});

test('every page of a list leads to the next until all have been seen once', async () => {
  const all = (await operator.get('/v1/restrictions?limit=100')).body.items.map(
    (item: { id: string }) => item.id,
  );
  expect(all.length).toBeGreaterThan(5);
  const seen: string[] = [];
  let path: string | null = '/v1/restrictions?limit=2';
  while (path !== null) {
    const page = await operator.get(path);
    seen.push(...page.body.items.map((item: { id: string }) => item.id));
    path = /<([^>]+)>; rel="next"/.exec(page.headers.get('link') ?? '')?.[1] ?? null;
  }
  expect(seen).toEqual(all);
});

/** Puts so many new restrictions in force. @returns their ids, newest first */
async function putInForce(count: number): Promise<readonly string[]> {
  const assessment = await assessed('calm');
  const ids: string[] = [];
  for (let index = 0; index < count; index += 1) {
    const { id } = (await engineer.post('/v1/restrictions', of(assessment))).body;
    await approver.post(`/v1/restrictions/${id}/approval`, {});
    ids.unshift(id);
  }
  return ids;
}

const idsOf = (items: readonly { readonly id: string }[]) => items.map(({ id }) => id);

test('of those in force none is left out when one is withdrawn between two pages', async () => {
  const [first, ...others] = await putInForce(4);
  const page = await operator.get('/v1/restrictions?state=in-force&limit=2');
  expect(page.body.items[0].id).toBe(first);
  await approver.post(`/v1/restrictions/${first}/withdrawal`, { reason: 'Repaired.' });
  const path = /<([^>]+)>; rel="next"/.exec(page.headers.get('link') ?? '')?.[1] ?? '';
  const rest = await operator.get(path);
  expect(idsOf([...page.body.items, ...rest.body.items])).toEqual([first, ...others]);
});

test('those in force are read again from the first page when a successor comes into force between two pages', async () => {
  const [, , third] = await putInForce(3);
  const page = await operator.get('/v1/restrictions?state=in-force&limit=2');
  const { assessment } = (await operator.get(`/v1/restrictions/${third}`)).body;
  const successor = (await engineer.post('/v1/restrictions', of(assessment, { supersedes: third }))).body.id;
  await approver.post(`/v1/restrictions/${successor}/approval`, {});
  expect(
    await operator.get(`/v1/restrictions?state=in-force&limit=2&cursor=${page.body.next}`),
  ).toMatchObject({
    status: 409,
    body: { type: 'urn:deckpace:problem:concurrent-change' },
  });
  expect(await inForce()).toContain(successor);
});

test('a stretch that stays restricted while one restriction after another is superseded is in every answer', async () => {
  const assessment = await assessed('calm');
  let newest = (await engineer.post('/v1/restrictions', of(assessment))).body.id;
  await approver.post(`/v1/restrictions/${newest}/approval`, {});
  const ours = new Set([newest]);
  // A reader far away: much can happen between two of its commands.
  const link = await SlowLink.to(service.redisServer.port, 50);
  const near = service.url;
  const api = await service.startApi({ REDIS_URL: `redis://127.0.0.1:${link.port}` });
  const far = service.url;
  service.url = near;
  let reading = true;
  const readers = Array.from({ length: 4 }, async () => {
    const reader = new Client(() => far, operator.token);
    const answers: { readonly id: string; readonly state: string }[][] = [];
    while (reading) answers.push((await reader.get('/v1/restrictions?state=in-force&limit=100')).body.items);
    return answers;
  });
  for (let count = 0; count < 40; count += 1) {
    const { body } = await engineer.post('/v1/restrictions', of(assessment, { supersedes: newest }));
    ours.add(body.id);
    expect((await approver.post(`/v1/restrictions/${body.id}/approval`, {})).status).toBe(200);
    newest = body.id;
  }
  reading = false;
  const answers = (await Promise.all(readers)).flat();
  await api.end('SIGKILL');
  link.close();
  expect(answers.length).toBeGreaterThan(8);
  for (const items of answers) {
    expect(items.filter(({ id }) => ours.has(id))).toMatchObject([{ state: 'in-force' }]);
  }
});
