import type { Redis } from 'ioredis';
import { redisScript } from '../service/redis-script.js';
import { assessmentKeys, keysOf } from './assessment-keys.js';

/** A draft is recorded in the same request that has its assessment kept: after so long that request is over. */
const DRAFTED_WITHIN_MILLISECONDS = 3_600_000;
/** Long enough for whatever finds, afterwards, that something rests on it after all. */
const LEAST_RETENTION_SECONDS = 86_400;

/**
 * Lets assessments go that are kept for ever although no restriction rests on them: the request that was about to draft one was cut
 * short, or refused. They are kept from now on like any other finished one, for a day at least.
 *
 * @param restedOn ids of all that restrictions rest on; where one cannot be told, nothing may be released
 * @param retentionSeconds how long a finished assessment is kept
 * @returns ids of those that were released
 */
export async function releaseAssessments(
  redis: Redis,
  restedOn: ReadonlySet<string>,
  retentionSeconds: number,
  now = Date.now(),
): Promise<readonly string[]> {
  const released: string[] = [];
  const seconds = Math.ceil(Math.max(retentionSeconds, LEAST_RETENTION_SECONDS));
  for (const id of await redis.smembers(assessmentKeys.pinned)) {
    if (restedOn.has(id)) continue;
    const keys = [assessmentKeys.pinned, ...keysOf(id)];
    if ((await release(redis, keys, [id, now - DRAFTED_WITHIN_MILLISECONDS, seconds])) === 1)
      released.push(id);
  }
  return released;
}

/** An earlier version kept no time, but 1. */
const release = redisScript(`
local pinned, record, id, before, seconds = KEYS[1], KEYS[2], ARGV[1], tonumber(ARGV[2]), ARGV[3]
local known = redis.call('HMGET', record, 'pinned', 'scenario_sha256', 'engine')
if known[1] and tonumber(known[1]) > before then return 0 end
redis.call('SREM', pinned, id)
if not known[1] then return 0 end
redis.call('HDEL', record, 'pinned')
for index = 2, #KEYS do redis.call('EXPIRE', KEYS[index], seconds) end
local completed = 'deckpace:completed:' .. known[2] .. ':' .. known[3]
if redis.call('GET', completed) == id then redis.call('EXPIRE', completed, seconds) end
return 1
`);
