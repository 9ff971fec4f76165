import { randomBytes } from 'node:crypto';
import type { Redis } from 'ioredis';
import { z } from 'zod';
import { redisScript } from '../service/redis-script.js';
import { headOf, linkedHistory, linkTo } from './linked-history.js';
import { type Restriction, type RestrictionState, restrictionFrom } from './restriction.js';
import { assertApprovable, assertWithdrawable } from './restriction-decisions.js';
import {
  type Actor,
  type RestrictionEvent,
  type RestrictionTerms,
  restrictionEvent,
} from './restriction-event.js';
import { restrictionKeys, statesInLua } from './restriction-keys.js';

/** Somebody else changed the restriction in the meantime: read it again and decide again. */
export class ConcurrentChangeError extends Error {
  override readonly name = 'ConcurrentChangeError';
}

/** There is no such restriction. */
export class UnknownRestrictionError extends Error {
  override readonly name = 'UnknownRestrictionError';
  constructor(id: string) {
    super(`There is no restriction ${id}.`);
  }
}

type Unlinked<Event> = Event extends RestrictionEvent ? Omit<Event, 'sequence' | 'previous_sha256'> : never;
type NewEvent = Unlinked<RestrictionEvent>;

/** The record of restrictions: a list of events per restriction, to which is only ever appended. */
export class RestrictionLog {
  constructor(private readonly redis: Redis) {}

  /** @throws ConcurrentChangeError when there is a restriction of this id */
  async draft(terms: RestrictionTerms, by: Actor, id = newId(), now = new Date()): Promise<Restriction> {
    const event: NewEvent = { type: 'drafted', restriction: id, at: now.toISOString(), by, why: null, terms };
    await this.append([{ event, stored: [], state: 'draft' }]);
    return this.read(id);
  }

  /**
   * What the same person has just approved with the same reason is only read: they ask again because the answer was lost.
   *
   * @throws RestrictionRefusal | UnknownRestrictionError | ConcurrentChangeError
   */
  async approve(id: string, by: Actor, why: string | null, now = new Date()): Promise<Restriction> {
    const { stored, events } = await this.known(id);
    const draft = restrictionFrom(events);
    if (isLast(events, { type: 'approved', by, why })) return draft;
    const before = draft.supersedes === null ? null : await this.known(draft.supersedes);
    const predecessor = before === null ? null : restrictionFrom(before.events);
    assertApprovable(draft, by, predecessor);
    const at = now.toISOString();
    const approved: NewEvent = { type: 'approved', restriction: id, at, by, why };
    const superseded: NewEvent | null =
      predecessor === null
        ? null
        : { type: 'superseded', restriction: predecessor.id, at, by, why, successor: id };
    await this.append([
      { event: approved, stored, state: 'in-force' },
      ...(superseded === null
        ? []
        : [{ event: superseded, stored: before?.stored ?? [], state: 'superseded' as const }]),
    ]);
    return this.read(id);
  }

  /**
   * What the same person has just withdrawn with the same reason is only read, as in approve.
   *
   * @throws RestrictionRefusal | UnknownRestrictionError | ConcurrentChangeError
   */
  async withdraw(
    id: string,
    by: Actor,
    isApprover: boolean,
    why: string,
    now = new Date(),
  ): Promise<Restriction> {
    const { stored, events } = await this.known(id);
    const restriction = restrictionFrom(events);
    if (isLast(events, { type: 'withdrawn', by, why })) return restriction;
    assertWithdrawable(restriction, by, isApprover);
    const event: NewEvent = { type: 'withdrawn', restriction: id, at: now.toISOString(), by, why };
    await this.append([{ event, stored, state: 'withdrawn' }]);
    return this.read(id);
  }

  /** @throws UnknownRestrictionError | BrokenHistoryError */
  async read(id: string): Promise<Restriction> {
    return restrictionFrom(await this.history(id));
  }

  /**
   * Null when there is none.
   *
   * @throws BrokenHistoryError
   */
  async find(id: string): Promise<Restriction | null> {
    const { stored, head } = await this.stored(id);
    const events = linkedHistory(id, stored, head);
    return events.length === 0 ? null : restrictionFrom(events);
  }

  /**
   * Oldest first, with every link of the chain checked, and the newest entry.
   *
   * @throws UnknownRestrictionError | BrokenHistoryError
   */
  async history(id: string): Promise<readonly RestrictionEvent[]> {
    return (await this.known(id)).events;
  }

  private async known(
    id: string,
  ): Promise<{ readonly stored: readonly string[]; readonly events: readonly RestrictionEvent[] }> {
    const { stored, head } = await this.stored(id);
    const events = linkedHistory(id, stored, head);
    if (stored.length === 0) throw new UnknownRestrictionError(id);
    return { stored, events };
  }

  private async stored(
    id: string,
  ): Promise<{ readonly stored: readonly string[]; readonly head: string | null }> {
    const keys = [restrictionKeys.history(id), restrictionKeys.head(id)];
    const [stored, head] = storedAnswer.parse(await readScript(this.redis, keys, []));
    return { stored, head };
  }

  /** All or nothing, and only if no history has grown since it was read. */
  private async append(
    changes: readonly { event: NewEvent; stored: readonly string[]; state: RestrictionState }[],
  ): Promise<void> {
    const lists = changes.map(({ event }) => restrictionKeys.history(event.restriction));
    const values = changes.flatMap(({ event, stored, state }) => {
      const entry = restrictionEvent.parse({
        ...event,
        sequence: stored.length + 1,
        previous_sha256: linkTo(stored.at(-1)),
      });
      const text = JSON.stringify(entry);
      return [String(stored.length), text, event.restriction, state, headOf([...stored, text])];
    });
    const { outbox, all, everInForce } = restrictionKeys;
    const done = await appendScript(
      this.redis,
      [outbox, all, everInForce, ...lists],
      [Date.now(), ...values],
    );
    if (done !== 1) {
      throw new ConcurrentChangeError('The restriction was changed in the meantime; read it again.');
    }
  }
}

function newId(): string {
  return `r${randomBytes(8).toString('hex')}`;
}

function isLast(
  events: readonly RestrictionEvent[],
  { type, by, why }: Pick<RestrictionEvent, 'type' | 'by' | 'why'>,
): boolean {
  const last = events.at(-1);
  return last?.type === type && last.by.holder === by.holder && last.by.key === by.key && last.why === why;
}

const storedAnswer = z.tuple([z.array(z.string()), z.string().nullable()]);

/** History and head as they were at one moment. */
const readScript = redisScript(`
return {redis.call('LRANGE', KEYS[1], 0, -1), redis.call('GET', KEYS[2])}
`);

/**
 * Entries that stand where they belong already were sent before: the connection was lost with the answer. Whatever kinds of command
 * the rest needs are tried before the first entry is written: Redis takes back none that it has let happen, and refused in the middle,
 * for want of a right, an approval would stand of which nobody is told.
 */
const appendScript = redisScript(`
local now = ARGV[1]
local fits, stand = true, true
for index = 4, #KEYS do
  local at = 2 + (index - 4) * 5
  local length, event = tonumber(ARGV[at]), ARGV[at + 1]
  if redis.call('LLEN', KEYS[index]) ~= length then fits = false end
  if redis.call('LINDEX', KEYS[index], length) ~= event then stand = false end
end
if stand then return 1 end
if not fits then return 0 end
local trial = 'deckpace:written'
redis.call('SET', trial, '1', 'PX', 1000)
redis.call('EXISTS', trial)
redis.call('INCR', trial)
redis.call('ZADD', trial .. ':nothing', 'XX', 0, '')
redis.call('ZREM', trial .. ':nothing', '')
redis.call('ZSCORE', trial .. ':nothing', '')
redis.call('PUBLISH', trial, '')
for index = 4, #KEYS do
  local at = 2 + (index - 4) * 5
  local event, id, state, head = ARGV[at + 1], ARGV[at + 2], ARGV[at + 3], ARGV[at + 4]
  redis.call('RPUSH', KEYS[index], event)
  redis.call('SET', 'deckpace:restriction:' .. id .. ':head', head)
  redis.call('RPUSH', KEYS[1], event)
  local new = redis.call('ZADD', KEYS[2], 'NX', now, id)
  if new == 1 and redis.call('EXISTS', 'deckpace:restrictions:count') == 1 then
    redis.call('INCR', 'deckpace:restrictions:count')
  end
  for _, other in ipairs(${statesInLua}) do
    redis.call('ZREM', 'deckpace:restrictions:' .. other, id)
  end
  redis.call('ZADD', 'deckpace:restrictions:' .. state, redis.call('ZSCORE', KEYS[2], id), id)
  if state == 'in-force' then redis.call('INCR', KEYS[3]) end
end
redis.call('PUBLISH', 'deckpace:restriction-changed', '')
return 1
`);
