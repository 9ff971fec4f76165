import { afterAll, afterEach, beforeAll, beforeEach, expect, test, vi } from 'vitest';
import { assessmentKeys } from '../../worker/assessments/assessment-keys.js';
import { listRestrictions, type RestrictionPage } from '../../worker/restrictions/list-restrictions.js';
import { rebuildLists } from '../../worker/restrictions/rebuild-lists.js';
import type { RestrictionState } from '../../worker/restrictions/restriction.js';
import { RestrictionLog } from '../../worker/restrictions/restriction-log.js';
import { someTerms } from './support/restriction-terms.js';
import { runCommand } from './support/run-command.js';
import { type Client, Service } from './support/service.js';
import { until } from './support/until.js';

let service: Service;
let log: RestrictionLog;
let operator: Client;
const author = { holder: 'E. Engineer', key: 'k1' };
const approver = { holder: 'A. Approver', key: 'k2' };

beforeAll(async () => {
  service = await Service.start();
  log = new RestrictionLog(service.redis);
});
beforeEach(async () => {
  operator = await service.client('O. Operator', 'operator');
});
afterEach(() => service.redis.flushall());
afterAll(() => service.stop());

async function drafted(): Promise<string> {
  return (await log.draft(someTerms, author)).id;
}
async function inForce(): Promise<string> {
  const id = await drafted();
  await log.approve(id, approver, null);
  return id;
}
async function withdrawn(): Promise<string> {
  const id = await inForce();
  await log.withdraw(id, approver, true, 'Repaired.');
  return id;
}
const list = (
  state: RestrictionState | null = 'in-force',
  limit = 100,
  after: RestrictionPage['next'] = null,
) => listRestrictions(service.redis, { state, after, limit });
const listed = async (state: RestrictionState | null = 'in-force') =>
  (await list(state)).items.map(({ id }) => id).sort();
const historyOf = (id: string) => `deckpace:restriction:${id}:history`;
const rebuild = (...options: readonly string[]) =>
  runCommand(['restrictions', 'rebuild-lists', ...options], service.redisServer.url);

/** What a backup of the keys that worker/README.md names brings back into an empty Redis. */
async function restored(): Promise<void> {
  for (const key of await service.redis.keys('*')) {
    const kept = /^deckpace:(restriction:.*:history|assessment:.*|keys|subscriptions)$/.test(key);
    if (!kept) await service.redis.del(key);
  }
}

test('after a restore of the histories alone every restriction is listed as its history says', async () => {
  const [draft, first, second, third] = [
    await drafted(),
    await inForce(),
    await inForce(),
    await withdrawn(),
  ];
  const before = await list(null);
  await restored();
  const { status, body } = await operator.get('/v1/restrictions?state=in-force');
  expect(status).toBe(200);
  expect(body.items.map(({ id }: { id: string }) => id).sort()).toEqual([first, second].sort());
  expect(await listed('draft')).toEqual([draft]);
  expect(await listed('withdrawn')).toEqual([third]);
  expect(new Set((await list(null)).items)).toEqual(new Set(before.items));
  expect(Number(await service.redis.get('deckpace:restrictions:ever-in-force'))).toBeGreaterThanOrEqual(3);
});

test('the assessments of restored restrictions are kept for ever and counted as such', async () => {
  await inForce();
  const record = 'deckpace:assessment:a1';
  await service.redis.hset(record, {
    id: 'a1',
    state: 'completed',
    pinned: '1',
    scenario_sha256: 'a'.repeat(64),
    engine: 'deckpace 0.0.0',
  });
  await service.redis.set(`${record}:output:result`, '{}', 'EX', 1000);
  await restored();
  await rebuildLists(service.redis);
  expect(await service.redis.smembers('deckpace:pinned-assessments')).toEqual(['a1']);
  expect(await service.redis.ttl(`${record}:output:result`)).toBe(-1);
});

test.each([
  ['the list of those in force', ['deckpace:restrictions:in-force']],
  ['both lists that name it', ['deckpace:restrictions', 'deckpace:restrictions:in-force']],
])('one restriction lost from %s is listed all the same', async (_lists, keys) => {
  const ids = [await inForce(), await inForce()];
  expect(await listed()).toEqual([...ids].sort());
  for (const key of keys) await service.redis.zrem(key, ids[0]!);
  expect(await listed()).toEqual([...ids].sort());
});

test('one that was drafted by a version that keeps no count is missed by the next rebuilding', async () => {
  const [id, other] = [await inForce(), await inForce()];
  expect((await listed()).length).toBe(2);
  await service.redis.set('deckpace:restrictions:count', 1);
  for (const key of ['deckpace:restrictions', 'deckpace:restrictions:in-force'])
    await service.redis.zrem(key, id);
  expect(await rebuildLists(service.redis)).toMatchObject({ restrictions: 2, placed: [id], faults: [] });
  expect(await listed()).toEqual([id, other].sort());
});

test('a restriction in force whose evidence is gone is named, and listed all the same', async () => {
  const [id, ended] = [await inForce(), await inForce()];
  await log.withdraw(ended, approver, true, 'Repaired.');
  const result = assessmentKeys.output(someTerms.assessment, 'result');
  await service.redis.set(result, 'evidence');
  expect((await rebuildLists(service.redis)).warnings).toEqual([]);
  await service.redis.del(result);
  expect(await rebuildLists(service.redis)).toMatchObject({
    faults: [],
    warnings: [
      expect.stringMatching(`restriction ${id} is in force, but the result of assessment .* is gone`),
    ],
  });
  expect(await listed()).toEqual([id]);
});

test('a list read page by page is read again from its first page when a lost restriction comes back to it', async () => {
  const [, , newest] = [await inForce(), await inForce(), await inForce()];
  await listed();
  await service.redis.zrem('deckpace:restrictions:in-force', newest!);
  const next = await afterPageWithout(newest!);
  await rebuildLists(service.redis);
  await expect(list('in-force', 1, next)).rejects.toThrow(/first page/);
});

/** Where a version that trusts the lists goes on after its first page. */
async function afterPageWithout(id: string): Promise<RestrictionPage['next']> {
  const [last = '', score = ''] = await service.redis.zrevrange(
    'deckpace:restrictions:in-force',
    0,
    0,
    'WITHSCORES',
  );
  expect(last).not.toBe(id);
  const everInForce = Number(await service.redis.get('deckpace:restrictions:ever-in-force'));
  return { id: last, milliseconds: Number(score), everInForce };
}

test('changes made while the lists are rebuilt are neither lost nor undone', async () => {
  const ids = await Promise.all(Array.from({ length: 30 }, inForce));
  await restored();
  const [kept, ended] = [ids.slice(0, 15), ids.slice(15)];
  const [, , ...more] = await Promise.all([
    rebuildLists(service.redis),
    Promise.all(ended.map((id) => log.withdraw(id, approver, true, 'Repaired.'))),
    inForce(),
    inForce(),
    rebuildLists(service.redis),
  ]);
  expect(await listed()).toEqual([...kept, ...more.slice(0, 2)].sort());
  expect(await listed('withdrawn')).toEqual([...ended].sort());
});

test('a restriction that is withdrawn after the rebuilding looked at it stays withdrawn', async () => {
  const id = await inForce();
  await rebuildLists(service.redis);
  await service.redis.zrem('deckpace:restrictions:in-force', id);
  const looking = service.redis.duplicate();
  vi.spyOn(looking, 'evalsha').mockImplementationOnce(async (...words) => {
    const found = await service.redis.call('EVALSHA', words.map(String));
    await log.withdraw(id, approver, true, 'Repaired.');
    return found;
  });
  expect(await rebuildLists(looking)).toMatchObject({ placed: [], faults: [] });
  looking.disconnect();
  expect([await listed(), await listed('withdrawn')]).toEqual([[], [id]]);
});

test('histories that are gone are missed until somebody accepts that', async () => {
  const [id, gone] = [await inForce(), await inForce()];
  await listed();
  await service.redis.del(historyOf(gone));
  await expect(list()).rejects.toThrow(`${gone} is listed, but its history is gone`);
  // Nor is it forgotten with the lists.
  await service.redis.zrem('deckpace:restrictions', gone);
  await service.redis.zrem('deckpace:restrictions:in-force', gone);
  const refused = await operator.get('/v1/restrictions?state=in-force');
  expect(refused).toMatchObject({ status: 503, body: { type: 'urn:deckpace:problem:unavailable' } });
  expect(refused.body.detail).toContain('Restrictions last announced stay valid');
  const said = await rebuild();
  expect(said).toMatchObject({ code: 2 });
  expect(said.stderr).toContain('2 restrictions were known, but only 1 have a history');
  expect(await rebuild('--accept-losses')).toMatchObject({ code: 0 });
  expect(await listed()).toEqual([id]);
});

test('a history that cannot be read is listed as in force, so that the list fails instead of leaving it out', async () => {
  const [id, other] = [await inForce(), await inForce()];
  const draft = await service.redis.lindex(historyOf(id), 0);
  await service.redis.lset(historyOf(id), 0, 'no JSON');
  await restored();
  await expect(list()).rejects.toThrow(`restriction ${id}: entry 1 cannot be read`);
  expect((await rebuild()).stderr).toContain(`restriction ${id}: entry 1 cannot be read`);
  // Put right, it is where it belongs.
  await service.redis.lset(historyOf(id), 0, draft!);
  expect(await listed()).toEqual([id, other].sort());
});

test.each(['with its head', 'as earlier versions kept it'])(
  'one in force that seems a draft, its approval lost, is neither listed as a draft nor left out: %s',
  async (kept) => {
    const id = await inForce();
    await listed();
    if (kept !== 'with its head') await service.redis.del(`deckpace:restriction:${id}:head`);
    const approval = await service.redis.rpop(historyOf(id));
    await expect(list()).rejects.toThrow(id);
    expect((await rebuild()).stderr).toContain(id);
    expect(await listed('draft')).toEqual([]);
    await expect(list()).rejects.toThrow(id);
    await service.redis.rpush(historyOf(id), approval!);
    expect(await listed()).toEqual([id]);
  },
);

test('the newest entry of a history is believed neither changed nor removed', async () => {
  const [id, other] = [await drafted(), await inForce()];
  const entry = await service.redis.lindex(historyOf(id), 0);
  const changed = entry!.replaceAll('_speed_kmh":80', '_speed_kmh":300');
  expect(changed).not.toBe(entry);
  await service.redis.lset(historyOf(id), 0, changed);
  for (const use of [log.read(id), log.approve(id, approver, null), list('draft'), list(null)])
    await expect(use).rejects.toThrow(`restriction ${id}: entry 1 is gone or is not as it was written`);
  await service.redis.rpop(historyOf(other));
  await expect(log.read(other)).rejects.toThrow('entry 2 is gone');
  await service.redis.del(historyOf(other));
  await expect(log.read(other)).rejects.toThrow('entry 2 is gone');
});

test('a history to which a version appends that keeps no head is read, and its next entry is protected again', async () => {
  const id = await drafted();
  const head = await service.redis.get(`deckpace:restriction:${id}:head`);
  await log.approve(id, approver, null);
  await service.redis.set(`deckpace:restriction:${id}:head`, head!);
  expect(await log.read(id)).toMatchObject({ state: 'in-force', version: 2 });
  await log.withdraw(id, approver, true, 'Repaired.');
  await service.redis.rpop(historyOf(id));
  await expect(log.read(id)).rejects.toThrow('entry 3 is gone');
});

test('one in force by its history that is listed as withdrawn is in force', async () => {
  const id = await inForce();
  await listed();
  const score = await service.redis.zscore('deckpace:restrictions', id);
  await service.redis.zrem('deckpace:restrictions:in-force', id);
  await service.redis.zadd('deckpace:restrictions:withdrawn', score!, id);
  const { faults } = await rebuildLists(service.redis);
  expect(faults).toEqual([`restriction ${id} is listed as withdrawn, but its history ends as in-force`]);
  expect(await listed()).toEqual([id]);
});

test('while Redis takes nothing, lists that agree with the histories are given and others are not', async () => {
  const [id, lost] = [await inForce(), await inForce()];
  await service.redis.del('deckpace:restrictions:count');
  await service.redis.config('SET', 'maxmemory', '1');
  try {
    expect(await listed()).toEqual([id, lost].sort());
    await service.redis.zrem('deckpace:restrictions:in-force', lost);
    await expect(list()).rejects.toThrow(/OOM/);
    expect((await operator.get('/v1/restrictions?state=in-force')).status).toBe(503);
  } finally {
    await service.redis.config('SET', 'maxmemory', '0');
  }
  expect(await listed()).toEqual([id, lost].sort());
});

test('a worker rebuilds the lists without being asked', async () => {
  const id = await inForce();
  await restored();
  const worker = await service.startWorker();
  await until('listed', () => service.redis.zscore('deckpace:restrictions:in-force', id));
  await worker.end('SIGKILL');
});

test('the first restriction of an empty record is listed', async () => {
  expect(await listed()).toEqual([]);
  const id = await inForce();
  expect(await service.redis.get('deckpace:restrictions:count')).toBe('1');
  expect(await listed()).toEqual([id]);
});
