import type { Redis } from 'ioredis';
import { z } from 'zod';
import { redisScript } from '../service/redis-script.js';
import { linkedHistory } from './linked-history.js';
import {
  BrokenHistoryError,
  type Restriction,
  type RestrictionState,
  restrictionFrom,
} from './restriction.js';
import { restrictionKeys } from './restriction-keys.js';

/** A restriction came into force between two pages of those in force: the pages together may lack one. Read from the first again. */
export class ListChangedError extends Error {
  override readonly name = 'ListChangedError';
  constructor() {
    super(
      'A restriction came into force since the first page was read; read the list from its first page again.',
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

const answer = z.tuple([
  z.coerce.number(),
  z.array(z.tuple([z.string(), z.coerce.number(), z.array(z.string())])),
]);

/**
 * Newest draft first, all of a page as it was at one moment. A successor comes before the restriction whose place it takes, so
 * that between two pages of those in force both could be missed: such a list ends with an error instead.
 *
 * @throws ListChangedError | BrokenHistoryError
 */
export async function listRestrictions(
  redis: Redis,
  { state, after, limit }: { state: RestrictionState | null; after: RestrictionCursor | null; limit: number },
): Promise<RestrictionPage> {
  const list = state === null ? restrictionKeys.all : restrictionKeys.inState(state);
  const [everInForce, found] = answer.parse(
    await page(
      redis,
      [list, restrictionKeys.everInForce],
      [limit + 1, ...(after === null ? [] : [after.milliseconds, after.id])],
    ),
  );
  if (state === 'in-force' && after !== null && after.everInForce !== everInForce)
    throw new ListChangedError();
  const items = found.slice(0, limit).map(([id, , stored]) => {
    if (stored.length === 0)
      throw new BrokenHistoryError(`restriction ${id} is listed, but its history is gone`);
    return restrictionFrom(linkedHistory(id, stored));
  });
  const last = found.length > limit ? found[limit - 1] : undefined;
  return { items, next: last === undefined ? null : { id: last[0], milliseconds: last[1], everInForce } };
}

/** Entries of equal time are ordered by id, descending, as Redis itself does in a reverse range. */
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
  table.insert(found, {id, entries[index + 1], history})
end
return {redis.call('GET', KEYS[2]) or '0', found}
`);
