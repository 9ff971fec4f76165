import type { Redis } from 'ioredis';
import { redisScript } from '../service/redis-script.js';
import { assessmentKeys } from './assessment-keys.js';
import { finalStates } from './assessment-record.js';

/** One entry of an assessment's event stream. */
export interface AssessmentEvent {
  /** Ascending; a client that was cut off names the last one it saw. */
  readonly id: string;
  readonly type: 'state' | 'progress';
  /** JSON. */
  readonly data: string;
}

const KEPT = 2000;

/** Appends a progress event and wakes whoever listens. Of an assessment that has ended nothing more is heard: its end is its last event. */
export async function announceProgress(
  redis: Redis,
  id: string,
  data: {
    readonly part: number;
    readonly damage_case: string;
    readonly train: string;
    readonly fraction: number;
  },
): Promise<void> {
  const keys = [assessmentKeys.record(id), assessmentKeys.events(id)];
  await announce(redis, keys, [
    id,
    finalStates.join(' '),
    JSON.stringify(data),
    KEPT,
    assessmentKeys.changed,
  ]);
}

const announce = redisScript(`
local record, events = KEYS[1], KEYS[2]
local id, final, data, kept, changed = ARGV[1], ARGV[2], ARGV[3], ARGV[4], ARGV[5]
local state = redis.call('HGET', record, 'state')
if not state or string.find(' ' .. final .. ' ', ' ' .. state .. ' ', 1, true) then return 0 end
redis.call('XADD', events, 'NOMKSTREAM', 'MAXLEN', '~', kept, '*', 'type', 'progress', 'data', data)
redis.call('PUBLISH', changed, id)
return 1
`);

/** Events after `lastId` ('0' for all that are kept), oldest first, at most 100. */
export async function eventsAfter(
  redis: Redis,
  id: string,
  lastId: string,
): Promise<readonly AssessmentEvent[]> {
  const entries = await redis.xrange(assessmentKeys.events(id), `(${lastId}`, '+', 'COUNT', 100);
  return entries.map(([eventId, fields]) => ({
    id: eventId,
    type: fields[fields.indexOf('type') + 1] === 'state' ? 'state' : 'progress',
    data: fields[fields.indexOf('data') + 1] ?? '{}',
  }));
}
