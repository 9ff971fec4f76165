import { createHash } from 'node:crypto';
import type { Redis } from 'ioredis';

export type RedisScript = (
  redis: Redis,
  keys: readonly string[],
  values: readonly (string | number | Buffer)[],
) => Promise<unknown>;

/** A Lua script that Redis runs whole or not at all, sent by its hash and in full only where Redis does not know it yet. */
export function redisScript(source: string): RedisScript {
  const hash = createHash('sha1').update(source).digest('hex');
  return async (redis, keys, values) => {
    try {
      return await redis.evalsha(hash, keys.length, ...keys, ...values);
    } catch (error) {
      if (!(error instanceof Error) || !error.message.startsWith('NOSCRIPT')) throw error;
      return redis.eval(source, keys.length, ...keys, ...values);
    }
  };
}
