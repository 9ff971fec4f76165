import type { Redis } from 'ioredis';
import { redisScript } from '../service/redis-script.js';
import { assessmentKeys, keysOf } from './assessment-keys.js';
import { finalStates } from './assessment-record.js';

const LOOKED_AT_ONCE = 500;

/** Removes the oldest finished assessments beyond `kept` per final state. Those under a restriction stay and do not count. */
export async function trimAssessments(redis: Redis, kept: number): Promise<void> {
  for (const state of finalStates) {
    const list = assessmentKeys.inState(state);
    const pinned = state === 'completed' ? await redis.scard(assessmentKeys.pinned) : 0;
    let excess = (await redis.zcard(list)) - pinned - kept;
    let passedOver = 0;
    while (excess > 0) {
      const ids = await redis.zrange(list, String(passedOver), String(passedOver + LOOKED_AT_ONCE - 1));
      if (ids.length === 0) break;
      for (const id of ids.slice(0, excess)) {
        if (await removeUnpinned(redis, list, id)) excess -= 1;
        else passedOver += 1;
      }
    }
  }
}

async function removeUnpinned(redis: Redis, list: string, id: string): Promise<boolean> {
  return (await remove(redis, [list, assessmentKeys.all, ...keysOf(id)], [id])) === 1;
}

/** In one step, because a restriction may be drafted on it meanwhile. */
const remove = redisScript(`
if redis.call('HGET', KEYS[3], 'pinned') then return 0 end
for index = 3, #KEYS do redis.call('DEL', KEYS[index]) end
redis.call('ZREM', KEYS[1], ARGV[1])
redis.call('ZREM', KEYS[2], ARGV[1])
return 1
`);
