import type { Redis } from 'ioredis';
import { StoreRefusedError, StoreUnfitError, UsageError } from './command-errors.js';
import type { Terminal } from './terminal.js';

/**
 * Lends a command the Redis at REDIS_URL. It is loaded only here, when a command needs it.
 *
 * @throws UsageError where the settings are wrong, StoreUnfitError where no fit Redis answers, StoreRefusedError where it then does not do
 *   what it is asked, and what the command throws
 */
export async function withRedis(terminal: Terminal, use: (redis: Redis) => Promise<void>): Promise<void> {
  const [
    { checkRedis, connectForRequests, isRedisUnavailable, RedisUnfitError },
    { readSettings, SettingsError },
  ] = await Promise.all([import('../service/redis.js'), import('../service/settings.js')]);
  const url = await orElse(
    SettingsError,
    UsageError,
    async () => readSettings(terminal.environment).REDIS_URL,
  );
  await orElse(RedisUnfitError, StoreUnfitError, () => checkRedis(url));
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

/** What the work gives; an error of the service that was foreseen, as the one that the command line knows it by. */
async function orElse<Value>(
  foreseen: new (message: string) => Error,
  known: new (message: string) => Error,
  work: () => Promise<Value>,
): Promise<Value> {
  try {
    return await work();
  } catch (error) {
    throw error instanceof foreseen ? new known(error.message) : error;
  }
}
