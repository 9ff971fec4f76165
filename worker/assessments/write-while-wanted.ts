import type { Redis } from 'ioredis';
import { redisScript } from '../service/redis-script.js';
import { assessmentKeys } from './assessment-keys.js';

/** A value under a key of its own, which is written once and then stays, or the field of a hash. */
export interface AssessmentEntry {
  readonly key: string;
  readonly field?: string | number;
  readonly value: string | Buffer;
}

/**
 * Writes all entries in one step while somebody waits for the assessment, and none once nobody does: what is written after its
 * end would have no expiry and no owner.
 *
 * @returns whether they were written
 */
export async function writeWhileWanted(
  redis: Redis,
  id: string,
  entries: readonly AssessmentEntry[],
): Promise<boolean> {
  const written = await write(
    redis,
    [assessmentKeys.record(id), ...entries.map(({ key }) => key)],
    entries.flatMap(({ field, value }) => [field ?? '', value]),
  );
  return written === 1;
}

const write = redisScript(`
local state = redis.call('HGET', KEYS[1], 'state')
if state ~= 'queued' and state ~= 'running' then return 0 end
for index = 2, #KEYS do
  local field, value = ARGV[2 * index - 3], ARGV[2 * index - 2]
  if field == '' then redis.call('SETNX', KEYS[index], value)
  else redis.call('HSET', KEYS[index], field, value) end
end
return 1
`);
