import type { Redis } from 'ioredis';
import { redisScript } from '../service/redis-script.js';
import { scanKeys } from '../service/scan-keys.js';
import { assessmentKeys } from './assessment-keys.js';
import { assessmentState } from './assessment-record.js';

const LOOKED_AT_ONCE = 200;

/**
 * Puts assessments back into the lists that stand in none, as after a restore of their own keys alone: nobody would see them, and what
 * had not ended would say `queued` or `running` for ever. One that has not ended is found again by its scenario as well. Each is placed
 * in one step, so that it may run beside submissions and changes of state.
 *
 * @returns ids of those that were placed
 */
export async function relistAssessments(redis: Redis): Promise<readonly string[]> {
  const placed: string[] = [];
  const before = assessmentKeys.record('');
  for await (const keys of scanKeys(redis, `${before}*`)) {
    // What belongs to an assessment stands under its key and a colon.
    const ids = keys.map((key) => key.slice(before.length)).filter((id) => !id.includes(':'));
    for (let from = 0; from < ids.length; from += LOOKED_AT_ONCE) {
      const answer = await look(redis, [assessmentKeys.all], ids.slice(from, from + LOOKED_AT_ONCE));
      for (const found of Array.isArray(answer) ? answer : []) {
        const [id, submitted] = Array.isArray(found) ? found.map(String) : [];
        if (id !== undefined && (await put(redis, id, submitted))) placed.push(id);
      }
    }
  }
  return placed;
}

async function put(redis: Redis, id: string, submitted = ''): Promise<boolean> {
  const time = Date.parse(submitted);
  const keys = [assessmentKeys.record(id), assessmentKeys.all];
  return (await putScript(redis, keys, [id, Number.isNaN(time) ? Date.now() : time])) === 1;
}

const look = redisScript(`
local astray = {}
for _, id in ipairs(ARGV) do
  local known = redis.call('HMGET', 'deckpace:assessment:' .. id, 'state', 'submitted_at')
  if known[1] and not (redis.call('ZSCORE', KEYS[1], id)
    and redis.call('ZSCORE', 'deckpace:assessments:' .. known[1], id)) then
    table.insert(astray, {id, known[2] or ''})
  end
end
return astray
`);

const putScript = redisScript(`
local record, all, id, time = KEYS[1], KEYS[2], ARGV[1], ARGV[2]
local known = redis.call('HMGET', record, 'state', 'scenario_sha256', 'engine')
local state = known[1]
if not state then return 0 end
redis.call('ZADD', all, 'NX', time, id)
for _, other in ipairs({${assessmentState.options.map((state) => `'${state}'`).join(', ')}}) do
  if other ~= state then redis.call('ZREM', 'deckpace:assessments:' .. other, id) end
end
if known[2] and known[3] and (state == 'queued' or state == 'running') then
  redis.call('SETNX', 'deckpace:latest:' .. known[2] .. ':' .. known[3], id)
end
return redis.call('ZADD', 'deckpace:assessments:' .. state, redis.call('ZSCORE', all, id), id)
`);
