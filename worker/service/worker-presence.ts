import type { Redis } from 'ioredis';
import { z } from 'zod';
import { takesWrites } from './redis.js';
import { redisMilliseconds } from './redis-time.js';
import { storedJson } from './stored-json.js';

const presenceKey = 'deckpace:workers';
const PRESENT_MILLISECONDS = 15_000;

/** A newer worker may say more. */
const presence = z.object({ threads: z.number(), busy: z.number(), at: z.number() });
export type WorkerPresence = Readonly<z.infer<typeof presence> & { id: string }>;

/**
 * Says that a worker is there; repeated every few seconds. Its id begins with the name of its host. The time is that of Redis: by
 * another's clock a worker that is there would look gone, and be dropped.
 */
export async function announceWorker(redis: Redis, id: string, threads: number, busy: number): Promise<void> {
  await redis.hset(presenceKey, id, JSON.stringify({ threads, busy, at: await redisMilliseconds(redis) }));
}

export async function withdrawWorker(redis: Redis, id: string): Promise<void> {
  await redis.hdel(presenceKey, id);
}

/**
 * Workers heard of within the last 15 s; older entries, and those that cannot be read, are dropped: a worker that is there says so again.
 *
 * @returns null while Redis takes no writes: workers cannot say that they are there, and nothing is known of them
 */
export async function presentWorkers(redis: Redis): Promise<readonly WorkerPresence[] | null> {
  // Asked first: a Redis without memory would still drop what it does not let anybody add again.
  if (!(await takesWrites(redis))) return null;
  const present: WorkerPresence[] = [];
  const gone: string[] = [];
  const now = await redisMilliseconds(redis);
  for (const [id, text] of Object.entries(await redis.hgetall(presenceKey))) {
    const heard = storedJson(presence, text);
    if (heard === null || now - heard.at > PRESENT_MILLISECONDS) gone.push(id);
    else present.push({ id, ...heard });
  }
  if (gone.length > 0) await redis.hdel(presenceKey, ...gone);
  return present;
}
