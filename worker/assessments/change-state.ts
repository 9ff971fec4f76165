import type { Redis } from 'ioredis';
import { redisScript } from '../service/redis-script.js';
import { assessmentKeys, keysOf } from './assessment-keys.js';
import type { AssessmentState } from './assessment-record.js';

export interface StateChange {
  readonly to: AssessmentState;
  readonly reason?: string;
  /** How long a finished assessment is kept, seconds. */
  readonly retentionSeconds: number;
}

const reachedFrom: Readonly<Record<AssessmentState, readonly AssessmentState[]>> = {
  queued: [],
  running: ['queued'],
  completed: ['running'],
  failed: ['queued', 'running'],
  cancelled: ['queued', 'running'],
};

/**
 * Changes an assessment's state, its place in the lists and its event stream in one step. A final state is reached once.
 *
 * @returns the state it has now and whether this call changed it; null when there is no such assessment
 */
export async function changeState(
  redis: Redis,
  id: string,
  { to, reason, retentionSeconds }: StateChange,
  now = new Date(),
): Promise<{ readonly state: string; readonly changed: boolean } | null> {
  const answer = await change(
    redis,
    [assessmentKeys.record(id), assessmentKeys.inState(to), ...keysOf(id)],
    [
      id,
      to,
      reachedFrom[to].join(' '),
      now.toISOString(),
      reason ?? '',
      Math.ceil(retentionSeconds),
      assessmentKeys.changed,
      assessmentKeys.cancelled,
    ],
  );
  if (!Array.isArray(answer)) return null;
  return { state: String(answer[0]), changed: answer[1] === 1 };
}

/**
 * The record comes last: where Redis refuses one of the steps before it, for want of a right, nothing is said that is not so, and the
 * whole is done again.
 */
const change = redisScript(`
local record, target = KEYS[1], KEYS[2]
local id, to, from, at, reason, retention = ARGV[1], ARGV[2], ARGV[3], ARGV[4], ARGV[5], tonumber(ARGV[6])
local known = redis.call('HMGET', record, 'state', 'submitted_at', 'pinned', 'scenario_sha256', 'engine')
local state = known[1]
if not state then return false end
if not string.find(' ' .. from .. ' ', ' ' .. state .. ' ', 1, true) then return {state, 0} end
-- Changes nothing, but is refused now rather than when all the rest is done.
redis.call('HSET', record, 'id', id)
if to ~= 'running' then
  if to == 'completed' then
    local completed = 'deckpace:completed:' .. known[4] .. ':' .. known[5]
    local before = redis.call('GET', completed)
    local stays = before and redis.call('HGET', 'deckpace:assessment:' .. before, 'pinned')
    if not stays then redis.call('SET', completed, id, 'EX', retention) end
  end
  if not known[3] then
    for index = 3, #KEYS do redis.call('EXPIRE', KEYS[index], retention) end
    redis.call('EXPIRE', 'deckpace:latest:' .. known[4] .. ':' .. known[5], retention)
  end
  redis.call('DEL', record .. ':parts')
end
local score = redis.call('ZSCORE', 'deckpace:assessments', id) or '0'
redis.call('ZADD', target, score, id)
redis.call('ZREM', 'deckpace:assessments:' .. state, id)
local event, fields = { state = to }, {'state', to, to == 'running' and 'started_at' or 'finished_at', at}
if reason ~= '' then
  event.reason = reason
  table.insert(fields, 'reason')
  table.insert(fields, reason)
end
redis.call('XADD', record .. ':events', '*', 'type', 'state', 'data', cjson.encode(event))
redis.call('HSET', record, unpack(fields))
redis.call('PUBLISH', ARGV[7], id)
if to == 'cancelled' then redis.call('PUBLISH', ARGV[8], id) end
return {to, 1}
`);
