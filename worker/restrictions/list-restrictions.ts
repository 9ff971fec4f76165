import type { Redis } from 'ioredis';
import { z } from 'zod';
import { redisScript } from '../service/redis-script.js';
import { linkedHistory } from './linked-history.js';
import { type RebuiltLists, rebuildLists } from './rebuild-lists.js';
import {
  BrokenHistoryError,
  type Restriction,
  type RestrictionState,
  restrictionFrom,
} from './restriction.js';
import { restrictionKeys, statesInLua } from './restriction-keys.js';

/** A restriction came into force between two pages of those in force: the pages together may lack one. Read from the first again. */
export class ListChangedError extends Error {
  override readonly name = 'ListChangedError';
  constructor() {
    super(
      'A restriction came into force since the first page was read; read the list from its first page again.',
    );
  }
}

/** The lists lack restrictions that there are or were: better no answer than one that leaves out what trains must obey. */
export class ListsIncompleteError extends Error {
  override readonly name = 'ListsIncompleteError';
  constructor() {
    super(
      'The lists of restrictions lack some that have a history, or had one: none is given until they are whole again ' +
        '(`deckpace restrictions rebuild-lists` says what is missing). Restrictions last announced stay valid, and each can be read by its id.',
    );
  }
}

/** Place in a list: time of draft and id of the last entry seen, and how many had come into force at the first page. */
export interface RestrictionCursor {
  readonly milliseconds: number;
  readonly id: string;
  readonly everInForce: number;
}

export interface RestrictionPage {
  readonly items: readonly Restriction[];
  readonly next: RestrictionCursor | null;
}

interface Wanted {
  readonly state: RestrictionState | null;
  readonly after: RestrictionCursor | null;
  readonly limit: number;
}

const answer = z.tuple([
  z.number(),
  z.number(),
  z.coerce.number(),
  z.array(z.tuple([z.string(), z.coerce.number(), z.array(z.string()), z.string().nullable()])),
]);

/**
 * Newest draft first, all of a page as it was at one moment. A successor comes before the restriction whose place it takes, so
 * that between two pages of those in force both could be missed: such a list ends with an error instead. Lists that do not agree
 * with the histories are rebuilt from them first.
 *
 * @throws ListChangedError | ListsIncompleteError | BrokenHistoryError
 */
export async function listRestrictions(redis: Redis, wanted: Wanted): Promise<RestrictionPage> {
  const { state, after, limit } = wanted;
  let read = await readPage(redis, wanted);
  if (!read.whole || !read.counted || read.strays.length > 0) {
    const { faults } = await rebuildOnce(redis);
    read = await readPage(redis, wanted);
    // Redis may take no count, which says nothing against lists that have just been compared.
    if (!read.whole || (!read.counted && faults.length > 0)) throw new ListsIncompleteError();
  }
  const {
    strays: [stray],
    everInForce,
    found,
  } = read;
  if (stray)
    throw new BrokenHistoryError(
      `restriction ${stray.id} is listed as ${state}, but its history ends as ${stray.state}`,
    );
  if (state === 'in-force' && after !== null && after.everInForce !== everInForce)
    throw new ListChangedError();
  const last = found.length > limit ? found[limit - 1] : undefined;
  return {
    items: read.items,
    next: last === undefined ? null : { id: last[0], milliseconds: last[1], everInForce },
  };
}

const rebuilding = new WeakMap<Redis, Promise<RebuiltLists>>();

/** Whoever asks while the lists are rebuilt waits for that: it looks at every key there is. */
function rebuildOnce(redis: Redis): Promise<RebuiltLists> {
  const running = rebuilding.get(redis);
  if (running !== undefined) return running;
  const started = rebuildLists(redis).finally(() => rebuilding.delete(redis));
  rebuilding.set(redis, started);
  return started;
}

/** A page as the lists have it, with those in it whose histories say otherwise. */
async function readPage(redis: Redis, { state, after, limit }: Wanted) {
  const { all, inState, count } = restrictionKeys;
  const [whole, counted, everInForce, found] = answer.parse(
    await page(
      redis,
      [state === null ? all : inState(state), restrictionKeys.everInForce, all, count],
      [limit + 1, ...(after === null ? [] : [after.milliseconds, after.id])],
    ),
  );
  const items = found.slice(0, limit).map(([id, , stored, head]) => {
    if (stored.length === 0)
      throw new BrokenHistoryError(`restriction ${id} is listed, but its history is gone`);
    return restrictionFrom(linkedHistory(id, stored, head));
  });
  const strays = state === null ? [] : items.filter((item) => item.state !== state);
  return { whole: whole === 1, counted: counted === 1, everInForce, found, items, strays };
}

/** Entries of equal time are ordered by id, descending, as Redis itself does in a reverse range. Whole are lists with every restriction in one state, and no fewer than were counted. */
const page = redisScript(`
local list, limit, milliseconds, last = KEYS[1], tonumber(ARGV[1]), ARGV[2], ARGV[3]
local from = 0
if last then
  from = redis.call('ZCOUNT', list, '(' .. milliseconds, '+inf')
  for _, id in ipairs(redis.call('ZREVRANGEBYSCORE', list, milliseconds, milliseconds)) do
    if id >= last then from = from + 1 end
  end
end
local found = {}
local entries = redis.call('ZREVRANGE', list, from, from + limit - 1, 'WITHSCORES')
for index = 1, #entries, 2 do
  local id = entries[index]
  local history = redis.call('LRANGE', 'deckpace:restriction:' .. id .. ':history', 0, -1)
  local head = redis.call('GET', 'deckpace:restriction:' .. id .. ':head')
  table.insert(found, {id, entries[index + 1], history, head})
end
local total, inStates = redis.call('ZCARD', KEYS[3]), 0
for _, state in ipairs(${statesInLua}) do
  inStates = inStates + redis.call('ZCARD', 'deckpace:restrictions:' .. state)
end
local known = tonumber(redis.call('GET', KEYS[4]))
local whole = (known or 0) <= total and inStates == total
return {whole and 1 or 0, known and 1 or 0, redis.call('GET', KEYS[2]) or '0', found}
`);
