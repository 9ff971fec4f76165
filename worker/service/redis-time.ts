import type { Redis } from 'ioredis';

/** Milliseconds since 1970 by Redis, the one clock that all processes share. */
export async function redisMilliseconds(redis: Redis): Promise<number> {
  const [seconds, microseconds] = await redis.time();
  return Math.round(seconds * 1000 + microseconds / 1000);
}
