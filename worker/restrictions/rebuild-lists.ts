import type { Redis } from 'ioredis';
import { z } from 'zod';
import { assessmentKeys } from '../assessments/assessment-keys.js';
import { pinAssessment } from '../assessments/pin-assessment.js';
import { refusesToWrite } from '../service/redis.js';
import { redisScript } from '../service/redis-script.js';
import { scanKeys } from '../service/scan-keys.js';
import { linkedHistory } from './linked-history.js';
import {
  BrokenHistoryError,
  type RestrictionState,
  restrictionFrom,
  restrictionState,
} from './restriction.js';
import type { RestrictionEvent } from './restriction-event.js';
import { restrictionKeys, statesInLua } from './restriction-keys.js';

/** What a rebuilding found and did. */
export interface RebuiltLists {
  /** Restrictions that have a history. */
  readonly restrictions: number;
  /** Ids of those that were not listed as their histories say, and are now. */
  readonly placed: readonly string[];
  /** Ids of the assessments that they rest on: all of them where there are no faults. */
  readonly restedOn: ReadonlySet<string>;
  /** What somebody has to look into, a sentence each: lists that contain it are refused until then. */
  readonly faults: readonly string[];
  /** What somebody has to look into as well, but which keeps no list from being right. */
  readonly warnings: readonly string[];
}

const LOOKED_AT_ONCE = 200;

/**
 * Makes the lists of restrictions agree with the histories, and keeps the assessments that they rest on for ever. Each restriction
 * is placed in one step and only if its history has not grown meanwhile, so that it may run beside any number of others and
 * beside changes. What cannot be read, or has lost entries, stays listed where it was and, listed nowhere, is listed as in force: a list
 * that fails is better than one that leaves it out.
 *
 * @param acceptLosses histories that are gone for good are no longer listed, nor missed
 */
export async function rebuildLists(redis: Redis, acceptLosses = false): Promise<RebuiltLists> {
  const ids = await idsWithHistory(redis);
  const placed: string[] = [];
  const faults: string[] = [];
  const assessments = new Set<string>();
  const inForce = new Map<string, string>();
  let approvals = 0;
  for (let from = 0; from < ids.length; from += LOOKED_AT_ONCE) {
    for (const found of await lookAt(redis, ids.slice(from, from + LOOKED_AT_ONCE))) {
      const { place, fault, events } = judge(found);
      if (fault !== null) faults.push(fault);
      approvals += events.filter(({ type }) => type === 'approved').length;
      const [draft] = events;
      if (draft?.type === 'drafted') {
        assessments.add(draft.terms.assessment);
        if (place === 'in-force') inForce.set(found.id, draft.terms.assessment);
      }
      if (found.isListed && found.places.length === 1 && found.places[0] === place) continue;
      const drafted = draft === undefined ? Date.now() : Date.parse(draft.at);
      if (await put(redis, found, place, drafted)) placed.push(found.id);
    }
  }
  for (const id of await withoutHistory(redis, new Set(ids))) {
    if (acceptLosses) await unlist(redis, id);
    else faults.push(`restriction ${id} is listed, but its history is gone`);
  }
  const known = await settleCounts(redis, approvals, ids.length, acceptLosses);
  if (known > ids.length && !acceptLosses)
    faults.push(`${known} restrictions were known, but only ${ids.length} have a history`);
  await pinAll(redis, [...assessments]);
  const warnings = await withoutEvidence(redis, inForce);
  return { restrictions: ids.length, placed, restedOn: assessments, faults, warnings };
}

/** A sentence for each restriction in force, given with its assessment, whose result nobody can read any more. */
async function withoutEvidence(
  redis: Redis,
  assessments: ReadonlyMap<string, string>,
): Promise<readonly string[]> {
  const gone: string[] = [];
  const all = [...assessments];
  for (let from = 0; from < all.length; from += LOOKED_AT_ONCE) {
    await Promise.all(
      all.slice(from, from + LOOKED_AT_ONCE).map(async ([id, assessment]) => {
        if ((await redis.exists(assessmentKeys.output(assessment, 'result'))) === 0)
          gone.push(
            `restriction ${id} is in force, but the result of assessment ${assessment} on which it rests is gone: look for it in an older backup`,
          );
      }),
    );
  }
  return gone.sort();
}

interface Found {
  readonly id: string;
  readonly stored: readonly string[];
  readonly head: string | null;
  /** Whether it is in the list of all. */
  readonly isListed: boolean;
  /** Lists by state that it is in; it should be one. */
  readonly places: readonly RestrictionState[];
}

async function idsWithHistory(redis: Redis): Promise<readonly string[]> {
  const [before = '', after = ''] = restrictionKeys.history('*').split('*');
  const ids = new Set<string>();
  for await (const keys of scanKeys(redis, restrictionKeys.history('*')))
    for (const key of keys) ids.add(key.slice(before.length, -after.length));
  return [...ids];
}

const answer = z.array(
  z.tuple([z.array(z.string()), z.string().nullable(), z.number(), z.array(restrictionState)]),
);

async function lookAt(redis: Redis, ids: readonly string[]): Promise<readonly Found[]> {
  const found = answer.parse(await look(redis, [restrictionKeys.all], ids));
  return found.flatMap(([stored, head, listed, places], index) => {
    const id = ids[index];
    return id === undefined ? [] : [{ id, stored, head, isListed: listed === 1, places }];
  });
}

/** Where a restriction belongs. The history decides, unless it has lost what the lists still know. */
function judge({ id, stored, head, places }: Found): {
  readonly place: RestrictionState;
  readonly fault: string | null;
  readonly events: readonly RestrictionEvent[];
} {
  const listed = places.includes('in-force') ? 'in-force' : places[0];
  try {
    const events = linkedHistory(id, stored, head);
    const { state } = restrictionFrom(events);
    if (listed === undefined || state === listed) return { place: state, fault: null, events };
    // Nothing leads back to a draft, and nothing back into force.
    const lost = state === 'draft' || (state === 'in-force' && listed !== 'draft');
    return {
      place: state === 'draft' ? listed : state,
      fault: lost ? `restriction ${id} is listed as ${listed}, but its history ends as ${state}` : null,
      events,
    };
  } catch (error) {
    if (!(error instanceof BrokenHistoryError)) throw error;
    return { place: listed ?? 'in-force', fault: error.message, events: [] };
  }
}

/** @returns false where its history has grown since it was looked at: the step that made it grow has placed it */
async function put(
  redis: Redis,
  { id, stored }: Found,
  place: RestrictionState,
  drafted: number,
): Promise<boolean> {
  const { history, all, everInForce } = restrictionKeys;
  const keys = [history(id), all, everInForce];
  return (await putScript(redis, keys, [id, stored.length, place, drafted])) === 1;
}

async function withoutHistory(redis: Redis, known: ReadonlySet<string>): Promise<readonly string[]> {
  const lists = [restrictionKeys.all, ...restrictionState.options.map(restrictionKeys.inState)];
  const listed = new Set((await Promise.all(lists.map((list) => redis.zrange(list, '0', '-1')))).flat());
  const gone: string[] = [];
  for (const id of listed) {
    // Asked once more, because it may have been drafted since.
    if (!known.has(id) && (await redis.exists(restrictionKeys.history(id))) === 0) gone.push(id);
  }
  return gone;
}

async function unlist(redis: Redis, id: string): Promise<void> {
  await unlistScript(redis, [restrictionKeys.history(id), restrictionKeys.all], [id]);
}

/** @returns how many restrictions were known before */
async function settleCounts(
  redis: Redis,
  approvals: number,
  restrictions: number,
  acceptLosses: boolean,
): Promise<number> {
  const { everInForce, count } = restrictionKeys;
  const values = [approvals, restrictions, acceptLosses ? '1' : '0'];
  try {
    return Number(await settleScript(redis, [everInForce, count], values));
  } catch (error) {
    // Lists that agree already may be given while Redis takes no count of them.
    if (!refusesToWrite(error)) throw error;
    return Number((await redis.get(count)) ?? 0);
  }
}

async function pinAll(redis: Redis, assessments: readonly string[]): Promise<void> {
  for (let from = 0; from < assessments.length; from += LOOKED_AT_ONCE) {
    const some = assessments.slice(from, from + LOOKED_AT_ONCE);
    const pinned = await redis.smismember(assessmentKeys.pinned, ...some);
    for (const [index, id] of some.entries()) if (pinned[index] === 0) await pinAssessment(redis, id);
  }
}

const look = redisScript(`
local found = {}
for _, id in ipairs(ARGV) do
  local places = {}
  for _, state in ipairs(${statesInLua}) do
    if redis.call('ZSCORE', 'deckpace:restrictions:' .. state, id) then table.insert(places, state) end
  end
  local history = redis.call('LRANGE', 'deckpace:restriction:' .. id .. ':history', 0, -1)
  local head = redis.call('GET', 'deckpace:restriction:' .. id .. ':head')
  table.insert(found, {history, head, redis.call('ZSCORE', KEYS[1], id) and 1 or 0, places})
end
return found
`);

/** A list that is read page by page tells by the count of those ever in force that one has come to it. */
const putScript = redisScript(`
local history, all, ever, id, place = KEYS[1], KEYS[2], KEYS[3], ARGV[1], ARGV[3]
if redis.call('LLEN', history) ~= tonumber(ARGV[2]) then return 0 end
redis.call('ZADD', all, 'NX', ARGV[4], id)
for _, state in ipairs(${statesInLua}) do
  if state ~= place then redis.call('ZREM', 'deckpace:restrictions:' .. state, id) end
end
local added = redis.call('ZADD', 'deckpace:restrictions:' .. place, redis.call('ZSCORE', all, id), id)
if place == 'in-force' and added == 1 then redis.call('INCR', ever) end
return 1
`);

const unlistScript = redisScript(`
if redis.call('EXISTS', KEYS[1]) == 1 then return 0 end
redis.call('ZREM', KEYS[2], ARGV[1])
for _, state in ipairs(${statesInLua}) do redis.call('ZREM', 'deckpace:restrictions:' .. state, ARGV[1]) end
return 1
`);

const settleScript = redisScript(`
if tonumber(redis.call('GET', KEYS[1]) or '0') < tonumber(ARGV[1]) then redis.call('SET', KEYS[1], ARGV[1]) end
local known = tonumber(redis.call('GET', KEYS[2]))
if not known or known < tonumber(ARGV[2]) or ARGV[3] == '1' then redis.call('SET', KEYS[2], ARGV[2]) end
return known or 0
`);
