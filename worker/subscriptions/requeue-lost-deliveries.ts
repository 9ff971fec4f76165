import type { Queue } from 'bullmq';
import type { Redis } from 'ioredis';
import type { DeliveryJob } from '../queue/queues.js';
import { redisScript } from '../service/redis-script.js';
import { scanKeys } from '../service/scan-keys.js';
import { addDeliveries } from './add-deliveries.js';

const LOOKED_AT_ONCE = 200;

/**
 * Deliveries that the queue knows and has in no list, so that nobody would take them: BullMQ moves a job in several steps that Redis
 * does not take back where it refuses one of them, as it does when its user loses a right meanwhile. They begin anew; a receiver may
 * get one twice.
 *
 * @returns ids of their jobs
 */
export async function requeueLostDeliveries(
  redis: Redis,
  queue: Queue<DeliveryJob>,
  attempts: number,
): Promise<readonly string[]> {
  const requeued: string[] = [];
  for (const id of await lostIn(redis, queue)) {
    const data = (await queue.getJob(id))?.data;
    if (data?.delivery === undefined) continue;
    await addDeliveries(queue, attempts, [data]);
    requeued.push(id);
  }
  return requeued;
}

async function lostIn(redis: Redis, queue: Queue<DeliveryJob>): Promise<readonly string[]> {
  const prefix = queue.toKey('');
  const lists = ['completed', 'failed', 'delayed', 'prioritized', 'active', 'wait', 'paused'];
  const keys = lists.map((list) => queue.toKey(list));
  const lost = new Set<string>();
  for await (const found of scanKeys(redis, `${prefix}s*-*`)) {
    const ids = found.map((key) => key.slice(prefix.length)).filter((id) => !id.includes(':'));
    for (let from = 0; from < ids.length; from += LOOKED_AT_ONCE) {
      const answer = await look(redis, keys, [prefix, ...ids.slice(from, from + LOOKED_AT_ONCE)]);
      for (const id of Array.isArray(answer) ? answer : []) lost.add(String(id));
    }
  }
  return [...lost];
}

/** A job is a hash; the queue keeps other keys beside its jobs. */
const look = redisScript(`
local lost = {}
for index = 2, #ARGV do
  local id, known = ARGV[index], false
  for list = 1, 4 do known = known or redis.call('ZSCORE', KEYS[list], id) end
  for list = 5, 7 do known = known or redis.call('LPOS', KEYS[list], id) end
  if not known and redis.call('TYPE', ARGV[1] .. id).ok == 'hash' then table.insert(lost, id) end
end
return lost
`);
