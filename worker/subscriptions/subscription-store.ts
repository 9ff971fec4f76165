import { randomBytes } from 'node:crypto';
import type { Redis } from 'ioredis';
import { z } from 'zod';
import { redisScript } from '../service/redis-script.js';
import { storedJson } from '../service/stored-json.js';
import {
  type DeliveryAttempt,
  deliveryAttempt,
  type EventType,
  type Subscription,
  subscription,
} from './subscription.js';

const subscriptionsKey = 'deckpace:subscriptions';
const attemptsKey = (id: string) => `deckpace:subscription:${id}:attempts`;
const ATTEMPTS_KEPT = 2000;

// The secret signs, so it has to be stored as it is; it leaves the store only towards the signature.
const stored = subscription.extend({ secret: z.string().startsWith('whsec_') });

/** Subscriptions with their secrets and delivery logs. */
export class SubscriptionStore {
  constructor(private readonly redis: Redis) {}

  /**
   * Where there is one of this id already, made by a request whose answer was lost, nothing is made.
   *
   * @returns the subscription of this id and its secret, which is shown this once
   */
  async create(
    wish: {
      readonly url: string;
      readonly events: readonly EventType[];
      readonly owner: string;
      readonly ownerKey: string;
    },
    id = newId(),
    now = new Date(),
  ): Promise<{ readonly subscription: Subscription; readonly secret: string }> {
    const created: Subscription = {
      id,
      url: wish.url,
      events: [...wish.events],
      owner: wish.owner,
      owner_key: wish.ownerKey,
      created_at: now.toISOString(),
    };
    const secret = `whsec_${randomBytes(32).toString('base64')}`;
    await this.redis.hsetnx(subscriptionsKey, id, JSON.stringify({ ...created, secret }));
    return (await this.withSecret(id)) ?? { subscription: created, secret };
  }

  async find(id: string): Promise<Subscription | null> {
    return (await this.withSecret(id))?.subscription ?? null;
  }

  async withSecret(
    id: string,
  ): Promise<{ readonly subscription: Subscription; readonly secret: string } | null> {
    const text = await this.redis.hget(subscriptionsKey, id);
    if (text === null) return null;
    const { secret, ...rest } = stored.parse(JSON.parse(text));
    return { subscription: rest, secret };
  }

  /** Oldest first, with the ids of those that cannot be read: nobody may miss the rest for their sake. */
  async all(): Promise<{
    readonly subscriptions: readonly Subscription[];
    readonly unreadable: readonly string[];
  }> {
    const entries = Object.entries(await this.redis.hgetall(subscriptionsKey));
    const read = entries.map(([id, text]) => ({ id, subscription: readable(text) }));
    return {
      subscriptions: read
        .flatMap(({ subscription }) => (subscription === null ? [] : [subscription]))
        .sort((a, b) => (a.created_at < b.created_at ? -1 : 1)),
      unreadable: read.filter((one) => one.subscription === null).map(({ id }) => id),
    };
  }

  /** Those that can be read, oldest first. */
  async list(): Promise<readonly Subscription[]> {
    return (await this.all()).subscriptions;
  }

  /** Also one that cannot be read. @returns false when there is no such subscription */
  async remove(id: string): Promise<boolean> {
    return (await removeScript(this.redis, [subscriptionsKey, attemptsKey(id)], [id])) === 1;
  }

  /** Does nothing where the subscription was removed during the attempt: its log went with it. */
  async logAttempt(id: string, attempt: DeliveryAttempt): Promise<void> {
    await logScript(
      this.redis,
      [subscriptionsKey, attemptsKey(id)],
      [id, JSON.stringify(attempt), ATTEMPTS_KEPT - 1],
    );
  }

  /** Newest first. */
  async attempts(id: string, offset: number, limit: number): Promise<readonly DeliveryAttempt[]> {
    const texts = await this.redis.lrange(attemptsKey(id), offset, offset + limit - 1);
    return texts.map((text) => deliveryAttempt.parse(JSON.parse(text)));
  }
}

function newId(): string {
  return `s${randomBytes(8).toString('hex')}`;
}

function readable(text: string): Subscription | null {
  const read = storedJson(stored, text);
  if (read === null) return null;
  const { secret: _, ...rest } = read;
  return rest;
}

const removeScript = redisScript(`
redis.call('DEL', KEYS[2])
return redis.call('HDEL', KEYS[1], ARGV[1])
`);

const logScript = redisScript(`
if redis.call('HEXISTS', KEYS[1], ARGV[1]) == 0 then return 0 end
redis.call('LPUSH', KEYS[2], ARGV[2])
redis.call('LTRIM', KEYS[2], 0, ARGV[3])
return 1
`);
