import { type RestrictionState, restrictionState } from './restriction.js';

/** Where the record of restrictions lies in Redis. */
export const restrictionKeys = {
  /** Ids by time of draft; this and the lists per state are rebuilt from the histories where they lack one (rebuild-lists.ts). */
  all: 'deckpace:restrictions',
  inState: (state: RestrictionState) => `deckpace:restrictions:${state}`,
  history: (id: string) => `deckpace:restriction:${id}:history`,
  /** Length of a history and hash of its newest entry; absent until something is appended by a version that keeps it. */
  head: (id: string) => `deckpace:restriction:${id}:head`,
  /** How many restrictions have come into force so far: a list read over several pages tells by it that one has meanwhile. */
  everInForce: 'deckpace:restrictions:ever-in-force',
  /** How many restrictions there are, at least; absent: the lists have not been made from the histories yet. */
  count: 'deckpace:restrictions:count',
  /** Events that subscribers have not been told of yet. */
  outbox: 'deckpace:restriction-outbox',
  /** Events that could not be told, because they or their restriction's history cannot be read; kept until somebody puts them back. */
  refusedEvents: 'deckpace:restriction-outbox:refused',
} as const;

/** Every state, as a table of a Redis script. */
export const statesInLua = `{${restrictionState.options.map((state) => `'${state}'`).join(', ')}}`;
