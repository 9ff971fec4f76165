import { createHash, randomBytes } from 'node:crypto';
import type { Redis } from 'ioredis';
import { redisScript } from '../service/redis-script.js';
import {
  BrokenHistoryError,
  type Restriction,
  type RestrictionState,
  restrictionFrom,
} from './restriction.js';
import { assertApprovable, assertWithdrawable } from './restriction-decisions.js';
import {
  type Actor,
  type RestrictionEvent,
  type RestrictionTerms,
  restrictionEvent,
} from './restriction-event.js';

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

const historyKey = (id: string) => `deckpace:restriction:${id}:history`;
/** Ids by time of draft; and per state, which the histories could rebuild. */
const allKey = 'deckpace:restrictions';
const stateKey = (state: RestrictionState) => `deckpace:restrictions:${state}`;
/** Events that subscribers have not been told of yet. */
export const outboxKey = 'deckpace:restriction-outbox';

type Unlinked<Event> = Event extends RestrictionEvent ? Omit<Event, 'sequence' | 'previous_sha256'> : never;
type NewEvent = Unlinked<RestrictionEvent>;

/** The record of restrictions: a list of events per restriction, to which is only ever appended. */
export class RestrictionLog {
  constructor(private readonly redis: Redis) {}

  async draft(terms: RestrictionTerms, by: Actor, id = newId(), now = new Date()): Promise<Restriction> {
    const event: NewEvent = { type: 'drafted', restriction: id, at: now.toISOString(), by, why: null, terms };
    await this.append([{ event, stored: [], state: 'draft' }]);
    return this.read(id);
  }

  /** @throws RestrictionRefusal | UnknownRestrictionError | ConcurrentChangeError */
  async approve(id: string, by: Actor, why: string | null, now = new Date()): Promise<Restriction> {
    const stored = await this.stored(id);
    const draft = restrictionFrom(stored.map(parse));
    const predecessorStored = draft.supersedes === null ? [] : await this.stored(draft.supersedes);
    const predecessor = draft.supersedes === null ? null : restrictionFrom(predecessorStored.map(parse));
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
        : [{ event: superseded, stored: predecessorStored, state: 'superseded' as const }]),
    ]);
    return this.read(id);
  }

  /** @throws RestrictionRefusal | UnknownRestrictionError | ConcurrentChangeError */
  async withdraw(
    id: string,
    by: Actor,
    isApprover: boolean,
    why: string,
    now = new Date(),
  ): Promise<Restriction> {
    const stored = await this.stored(id);
    assertWithdrawable(restrictionFrom(stored.map(parse)), by, isApprover);
    const event: NewEvent = { type: 'withdrawn', restriction: id, at: now.toISOString(), by, why };
    await this.append([{ event, stored, state: 'withdrawn' }]);
    return this.read(id);
  }

  /** @throws UnknownRestrictionError */
  async read(id: string): Promise<Restriction> {
    return restrictionFrom(await this.history(id));
  }

  /**
   * Oldest first, with every link of the chain checked.
   *
   * @throws UnknownRestrictionError | BrokenHistoryError
   */
  async history(id: string): Promise<readonly RestrictionEvent[]> {
    return (await this.stored(id)).map(parse);
  }

  /** Newest draft first. */
  async list(state: RestrictionState | null, offset: number, limit: number): Promise<readonly Restriction[]> {
    const list = state === null ? allKey : stateKey(state);
    const ids = await this.redis.zrevrange(list, offset, offset + limit - 1);
    return Promise.all(ids.map((id) => this.read(id)));
  }

  private async stored(id: string): Promise<readonly string[]> {
    const stored = await this.redis.lrange(historyKey(id), 0, -1);
    if (stored.length === 0) throw new UnknownRestrictionError(id);
    stored.forEach((text, index) => {
      const before = stored[index - 1];
      if (parse(text).previous_sha256 !== (before === undefined ? null : sha256(before))) {
        throw new BrokenHistoryError(
          `restriction ${id}: entry ${index + 1} does not follow the one before it`,
        );
      }
    });
    return stored;
  }

  /** All or nothing, and only if no history has grown since it was read. */
  private async append(
    changes: readonly { event: NewEvent; stored: readonly string[]; state: RestrictionState }[],
  ): Promise<void> {
    const lists = changes.map(({ event }) => historyKey(event.restriction));
    const values = changes.flatMap(({ event, stored, state }) => {
      const last = stored.at(-1);
      const entry = restrictionEvent.parse({
        ...event,
        sequence: stored.length + 1,
        previous_sha256: last === undefined ? null : sha256(last),
      });
      return [String(stored.length), JSON.stringify(entry), event.restriction, state];
    });
    const done = await appendScript(this.redis, [outboxKey, allKey, ...lists], [Date.now(), ...values]);
    if (done !== 1) {
      throw new ConcurrentChangeError('The restriction was changed in the meantime; read it again.');
    }
  }
}

function newId(): string {
  return `r${randomBytes(8).toString('hex')}`;
}

function parse(text: string): RestrictionEvent {
  return restrictionEvent.parse(JSON.parse(text));
}

function sha256(text: string): string {
  return createHash('sha256').update(text).digest('hex');
}

const appendScript = redisScript(`
local now = ARGV[1]
for index = 3, #KEYS do
  local at = 2 + (index - 3) * 4
  if redis.call('LLEN', KEYS[index]) ~= tonumber(ARGV[at]) then return 0 end
end
for index = 3, #KEYS do
  local at = 2 + (index - 3) * 4
  local event, id, state = ARGV[at + 1], ARGV[at + 2], ARGV[at + 3]
  redis.call('RPUSH', KEYS[index], event)
  redis.call('RPUSH', KEYS[1], event)
  redis.call('ZADD', KEYS[2], 'NX', now, id)
  for _, other in ipairs({'draft', 'in-force', 'withdrawn', 'superseded'}) do
    redis.call('ZREM', 'deckpace:restrictions:' .. other, id)
  end
  redis.call('ZADD', 'deckpace:restrictions:' .. state, redis.call('ZSCORE', KEYS[2], id), id)
end
redis.call('PUBLISH', 'deckpace:restriction-changed', '')
return 1
`);
