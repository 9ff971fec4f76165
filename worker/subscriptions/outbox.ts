import type { Redis } from 'ioredis';
import type { RestrictionEvent } from '../restrictions/restriction-event.js';
import { restrictionKeys } from '../restrictions/restriction-keys.js';
import { storedEvent } from '../restrictions/stored-event.js';
import { redisScript } from '../service/redis-script.js';

/** How many events subscribers have not been told of, and since when. */
export interface OutboxLength {
  readonly waiting: number;
  readonly setAside: number;
  /** Age of the event that has waited longest: 0 where none waits, infinite where it cannot be read. */
  readonly oldestSeconds: number;
}

/** Events of restrictions, as stored, in the order in which they happened; each until it is told or set aside. */
export class Outbox {
  constructor(private readonly redis: Redis) {}

  /** The event that is to be told next. */
  first(): Promise<string | null> {
    return this.redis.lindex(restrictionKeys.outbox, 0);
  }

  async told(text: string): Promise<void> {
    await this.redis.lrem(restrictionKeys.outbox, 1, text);
  }

  /** Keeps an event that cannot be told apart from those that can. @returns false where somebody else has done it */
  async setAside(text: string): Promise<boolean> {
    const { outbox, refusedEvents } = restrictionKeys;
    return (await setAsideScript(this.redis, [outbox, refusedEvents], [text])) === 1;
  }

  /**
   * Whether something is set aside that subscribers have to hear before this event: what happened to the same restriction before,
   * and of one that is superseded whatever may be the approval of its successor.
   */
  async isHeldUp({ restriction, sequence, ...event }: RestrictionEvent): Promise<boolean> {
    const before = (await this.redis.lrange(restrictionKeys.refusedEvents, 0, -1)).map(storedEvent);
    return before.some((one) => {
      if (one?.restriction === restriction) return one.sequence < sequence;
      return event.type === 'superseded' && (one === null || one.restriction === event.successor);
    });
  }

  async length(now = new Date()): Promise<OutboxLength> {
    const { outbox, refusedEvents } = restrictionKeys;
    const [waiting, setAside, first] = await Promise.all([
      this.redis.llen(outbox),
      this.redis.llen(refusedEvents),
      this.first(),
    ]);
    return { waiting, setAside, oldestSeconds: first === null ? 0 : ageOf(first, now) };
  }
}

function ageOf(text: string, now: Date): number {
  const event = storedEvent(text);
  return event === null ? Number.POSITIVE_INFINITY : (now.getTime() - Date.parse(event.at)) / 1000;
}

const setAsideScript = redisScript(`
if redis.call('LREM', KEYS[1], 1, ARGV[1]) == 0 then return 0 end
redis.call('RPUSH', KEYS[2], ARGV[1])
return 1
`);
