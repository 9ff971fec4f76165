import type { Redis } from 'ioredis';
import { StoreRefusedError, UsageError } from './command-errors.js';
import type { Terminal } from './terminal.js';

/**
 * Lends a command the Redis at REDIS_URL. It is loaded only here, when a command needs it.
 *
 * @throws UsageError where the settings are wrong or no fit Redis answers, StoreRefusedError where it then does not do what it is asked,
 *   and what the command throws
 */
export async function withRedis(terminal: Terminal, use: (redis: Redis) => Promise<void>): Promise<void> {
  const [{ checkRedis, connectForRequests, isRedisUnavailable }, { readSettings }] = await Promise.all([
    import('../service/redis.js'),
    import('../service/settings.js'),
  ]);
  const url = await usable(async () => {
    const { REDIS_URL } = readSettings(terminal.environment);
    await checkRedis(REDIS_URL);
    return REDIS_URL;
  });
  const redis = connectForRequests(url, () => {});
  try {
    await redis.connect();
    await use(redis);
  } catch (error) {
    if (error instanceof Error && isRedisUnavailable(error)) throw new StoreRefusedError(error);
    throw error;
  } finally {
    redis.disconnect();
  }
}

/** Wrong settings and an absent Redis are the caller's to put right. */
async function usable(check: () => Promise<string>): Promise<string> {
  try {
    return await check();
  } catch (error) {
    throw new UsageError(error instanceof Error ? error.message : String(error));
  }
}
