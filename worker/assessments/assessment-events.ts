import type { Redis } from 'ioredis';
import { assessmentKeys } from './assessment-keys.js';

/** One entry of an assessment's event stream. */
export interface AssessmentEvent {
  /** Ascending; a client that was cut off names the last one it saw. */
  readonly id: string;
  readonly type: 'state' | 'progress';
  /** JSON. */
  readonly data: string;
}

const KEPT = 2000;

/** Appends a progress event and wakes whoever listens. */
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
  await redis
    .multi()
    .xadd(
      assessmentKeys.events(id),
      'NOMKSTREAM',
      'MAXLEN',
      '~',
      KEPT,
      '*',
      'type',
      'progress',
      'data',
      JSON.stringify(data),
    )
    .publish(assessmentKeys.changed, id)
    .exec();
}

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
