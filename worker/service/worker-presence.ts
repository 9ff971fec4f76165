import type { Redis } from 'ioredis';
import { z } from 'zod';
import { takesWrites } from './redis.js';

const presenceKey = 'deckpace:workers';
const PRESENT_MILLISECONDS = 15_000;

const presence = z.strictObject({ threads: z.number(), busy: z.number(), at: z.number() });
export type WorkerPresence = Readonly<z.infer<typeof presence> & { id: string }>;

/** Says that a worker is there; repeated every few seconds. Its id begins with the name of its host. */
export async function announceWorker(redis: Redis, id: string, threads: number, busy: number): Promise<void> {
  await redis.hset(presenceKey, id, JSON.stringify({ threads, busy, at: Date.now() }));
}

export async function withdrawWorker(redis: Redis, id: string): Promise<void> {
  await redis.hdel(presenceKey, id);
}

/**
 * Workers heard of within the last 15 s; older entries are dropped.
 *
 * @returns null while Redis takes no writes: workers cannot say that they are there, and nothing is known of them
 */
export async function presentWorkers(redis: Redis): Promise<readonly WorkerPresence[] | null> {
  // Asked first: a Redis without memory would still drop what it does not let anybody add again.
  if (!(await takesWrites(redis))) return null;
  const all = Object.entries(await redis.hgetall(presenceKey));
  const entries = all.map(([id, text]) => ({ id, ...presence.parse(JSON.parse(text)) }));
  const gone = entries.filter(({ at }) => Date.now() - at > PRESENT_MILLISECONDS);
  if (gone.length > 0) await redis.hdel(presenceKey, ...gone.map(({ id }) => id));
  return entries.filter((entry) => !gone.includes(entry));
}
