import type { Queue } from 'bullmq';
import type { Redis } from 'ioredis';
import { redisScript } from '../service/redis-script.js';
import type { AssessmentJob, PartJob } from './queues.js';

/**
 * Whether an assessment's job waits for its parts, and one of them will never report to it: the queue does not have that part, has it
 * nowhere, or has it among those that ended; or there is none to wait for. BullMQ moves a job in several steps that Redis does not
 * take back where it refuses one of them, as it does when its user loses a right meanwhile; and people remove jobs by hand.
 *
 * @param id of the assessment, which its job has as well
 */
export async function waitsInVain(
  redis: Redis,
  assessments: Queue<AssessmentJob>,
  parts: Queue<PartJob>,
  id: string,
): Promise<boolean> {
  const places = ['prioritized', 'delayed', 'wait', 'active'].map((place) => parts.toKey(place));
  const keys = [assessments.toKey('waiting-children'), `${assessments.toKey(id)}:dependencies`, ...places];
  return (await look(redis, keys, [id, parts.toKey('')])) === 1;
}

/** At one moment: a part that ends leaves its list and what its parent waits for in one step. */
const look = redisScript(`
local id, prefix = ARGV[1], ARGV[2]
if not redis.call('ZSCORE', KEYS[1], id) then return 0 end
local awaited = redis.call('SMEMBERS', KEYS[2])
if #awaited == 0 then return 1 end
for _, key in ipairs(awaited) do
  local part = string.sub(key, #prefix + 1)
  local queued = redis.call('ZSCORE', KEYS[3], part) or redis.call('ZSCORE', KEYS[4], part)
    or redis.call('LPOS', KEYS[5], part) or redis.call('LPOS', KEYS[6], part)
  if not queued or redis.call('EXISTS', key) == 0 then return 1 end
end
return 0
`);
