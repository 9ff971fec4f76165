import type { Redis } from 'ioredis';
import { isDenied, refusesToWrite } from './redis.js';
import { redisScript } from './redis-script.js';

/** In words for anybody: what Redis itself says of a right names its user. */
const refusals = [
  ['OOM', 'Redis has no memory left'],
  ['READONLY', 'Redis is a replica that only lets read'],
  ['NOREPLICAS', 'Redis has fewer replicas than it is told to have'],
  ['MISCONF', 'Redis cannot save to its disk'],
] as const;

/**
 * Why Redis takes no writes now, found by writing what the service writes, in one short step; null where it takes them.
 *
 * @throws what says that Redis does not answer
 */
export async function writeRefusal(redis: Redis): Promise<string | null> {
  try {
    await trial(redis, ['deckpace:written', 'deckpace-queue:written'], []);
    return null;
  } catch (error) {
    if (isDenied(error)) return 'Redis does not let its user do everything that the service must';
    if (!refusesToWrite(error) || !(error instanceof Error)) throw error;
    const { message } = error;
    return refusals.find(([code]) => message.includes(code))?.[1] ?? 'Redis takes no writes';
  }
}

/** Each kind of command that the service and its queue write with; nothing is left of it after a second. */
const trial = redisScript(`
for _, key in ipairs(KEYS) do
  redis.call('SET', key, '1', 'PX', 1000)
  redis.call('INCR', key)
  redis.call('EXPIRE', key, 1)
  local hash, list, stream, none = key .. ':hash', key .. ':list', key .. ':stream', key .. ':none'
  redis.call('HSET', hash, 'a', '1')
  redis.call('HMSET', hash, 'a', '1')
  redis.call('HINCRBY', hash, 'a', 1)
  redis.call('LPUSH', list, 'a')
  redis.call('RPUSH', list, 'a')
  redis.call('RPOPLPUSH', list, list)
  redis.call('LREM', list, 0, 'a')
  redis.call('XADD', stream, 'MAXLEN', 1, '*', 'a', '1')
  redis.call('ZADD', none, 'XX', 0, 'a')
  redis.call('ZREM', none, 'a')
  redis.call('ZPOPMIN', none)
  redis.call('SREM', none, 'a')
  redis.call('DEL', hash, stream)
end
return 1
`);
