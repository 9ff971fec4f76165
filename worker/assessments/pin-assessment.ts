import type { Redis } from 'ioredis';
import { redisScript } from '../service/redis-script.js';
import { assessmentKeys, keysOf } from './assessment-keys.js';

/**
 * Keeps a completed assessment for ever, because a safety record rests on it, and hands it out whenever its scenario is submitted
 * again. Since when is kept as well: one on which nothing rests an hour later is released (release-assessments.ts).
 *
 * @returns false when it is not completed or no longer kept
 */
export async function pinAssessment(redis: Redis, id: string, now = Date.now()): Promise<boolean> {
  const keys = [assessmentKeys.pinned, assessmentKeys.output(id, 'result'), ...keysOf(id)];
  return (await pin(redis, keys, [id, now])) === 1;
}

const pin = redisScript(`
local pinned, result, record, id = KEYS[1], KEYS[2], KEYS[3], ARGV[1]
local known = redis.call('HMGET', record, 'state', 'scenario_sha256', 'engine')
if known[1] ~= 'completed' or redis.call('EXISTS', result) == 0 then return 0 end
redis.call('HSET', record, 'pinned', ARGV[2])
redis.call('SADD', pinned, id)
for index = 3, #KEYS do redis.call('PERSIST', KEYS[index]) end
redis.call('SET', 'deckpace:completed:' .. known[2] .. ':' .. known[3], id)
return 1
`);
