import type { Redis } from 'ioredis';

/**
 * Keys of the whole of Redis that fit a pattern, some at a time. Each is found at least once that stands throughout, some more than once.
 *
 * @param pattern as `SCAN ... MATCH` takes it
 */
export async function* scanKeys(redis: Redis, pattern: string): AsyncGenerator<readonly string[]> {
  let cursor = '0';
  do {
    const [next, keys] = await redis.scan(cursor, 'MATCH', pattern, 'COUNT', 1000);
    yield keys;
    cursor = next;
  } while (cursor !== '0');
}
