import { createHash, randomBytes } from 'node:crypto';
import type { Redis } from 'ioredis';
import { redisScript } from '../service/redis-script.js';
import { assessmentKeys } from './assessment-keys.js';
import { type AssessmentRecord, type Priority, recordFromFields } from './assessment-record.js';

export interface Submission {
  /** The scenario as it came. */
  readonly scenario: Buffer;
  readonly scenarioSha256: string;
  readonly title: string;
  readonly engine: string;
  readonly priority: Priority;
  readonly submittedBy: string;
  readonly keyId: string;
  /** Compute again although a result exists. */
  readonly again: boolean;
  readonly idempotencyKey: string | null;
}

export interface SubmissionOutcome {
  /**
   * created: a new assessment. existing: the same scenario was assessed, or is being assessed, by the same engine.
   * replayed: the same request came before under the same Idempotency-Key. mismatch: another request did.
   */
  readonly outcome: 'created' | 'existing' | 'replayed' | 'mismatch';
  /** The assessment as it is now; null for a mismatch, and where the one that is replayed is no longer kept. */
  readonly record: AssessmentRecord | null;
}

const DAY_SECONDS = 86_400;

/**
 * Records a submission in one step that cannot be half done, so that a client may repeat it after any failure. A failed or
 * cancelled assessment is not reused, and does not hide one that was completed before; where there is none, the next submission
 * runs again. No id is used twice: jobs of a run outlive its record, and would be taken for those of the next.
 */
export async function submitAssessment(
  redis: Redis,
  submission: Submission,
  now = new Date(),
): Promise<SubmissionOutcome> {
  const { scenario, scenarioSha256, engine, keyId, idempotencyKey, again } = submission;
  const base = createHash('sha256').update(`${scenarioSha256} ${engine}`).digest('hex').slice(0, 24);
  // Only under an Idempotency-Key does it matter whether the bytes are the same.
  const body =
    idempotencyKey === null
      ? ''
      : createHash('sha256').update(scenario).update(`${again} ${submission.priority}`).digest('hex');
  const answer = await submit(
    redis,
    [
      assessmentKeys.latest(scenarioSha256, engine),
      // Also where none was given: Redis may hold this program to names that begin as its own do, and an empty one does not.
      assessmentKeys.idempotency(keyId, idempotencyKey ?? ''),
      assessmentKeys.all,
      assessmentKeys.inState('queued'),
      assessmentKeys.completed(scenarioSha256, engine),
    ],
    [
      `a${base}-${randomBytes(6).toString('hex')}`,
      body,
      again ? '1' : '0',
      now.toISOString(),
      now.getTime(),
      scenario,
      submission.title,
      scenarioSha256,
      engine,
      submission.priority,
      submission.submittedBy,
      DAY_SECONDS,
    ],
  );
  const [outcome, known] = Array.isArray(answer) ? answer : [];
  if (!isOutcome(outcome)) throw new Error('unexpected answer of the submission script');
  if (outcome !== 'created') return { outcome, record: recordOf(known) };
  const record: AssessmentRecord = {
    id: String(known),
    state: 'queued',
    title: submission.title,
    scenario_sha256: scenarioSha256,
    engine,
    priority: submission.priority,
    submitted_by: submission.submittedBy,
    submitted_at: now.toISOString(),
    started_at: null,
    finished_at: null,
    reason: null,
  };
  return { outcome, record };
}

/** Redis answers a hash as names and values in turn. */
function recordOf(flat: unknown): AssessmentRecord | null {
  if (!Array.isArray(flat)) return null;
  const pairs = flat.flatMap((name, index) =>
    index % 2 === 0 ? [[String(name), String(flat[index + 1])]] : [],
  );
  return recordFromFields(Object.fromEntries(pairs));
}

function isOutcome(text: unknown): text is SubmissionOutcome['outcome'] {
  return text === 'created' || text === 'existing' || text === 'replayed' || text === 'mismatch';
}

const submit = redisScript(`
local latest, idempotency, all, queued, completed = KEYS[1], KEYS[2], KEYS[3], KEYS[4], KEYS[5]
local fresh, body, again, at, milliseconds, scenario = ARGV[1], ARGV[2], ARGV[3], ARGV[4], ARGV[5], ARGV[6]
if body ~= '' then
  local known = redis.call('HMGET', idempotency, 'body', 'id')
  if known[1] then
    if known[1] ~= body then return {'mismatch', {}} end
    return {'replayed', redis.call('HGETALL', 'deckpace:assessment:' .. known[2])}
  end
end
-- These change nothing, but are refused now rather than when half is done: Redis takes nothing back, and it would be kept for ever.
redis.call('SET', 'deckpace:assessment:' .. fresh .. ':scenario', '', 'XX')
redis.call('XADD', 'deckpace:assessment:' .. fresh .. ':events', 'NOMKSTREAM', '*', 'type', 'state')
redis.call('ZADD', all, 'XX', milliseconds, fresh)
redis.call('EXPIRE', 'deckpace:assessment:' .. fresh, 1)
local id, outcome = nil, 'created'
if again == '0' then
  -- The last one where it may be reused, otherwise the one that was completed.
  for _, place in ipairs({completed, latest}) do
    local known = redis.call('GET', place)
    local state = known and redis.call('HGET', 'deckpace:assessment:' .. known, 'state')
    if state and state ~= 'failed' and state ~= 'cancelled' then id, outcome = known, 'existing' end
  end
end
if not id then
  id = fresh
  local record = 'deckpace:assessment:' .. id
  redis.call('HSET', record, 'id', id, 'state', 'queued', 'title', ARGV[7], 'scenario_sha256', ARGV[8],
    'engine', ARGV[9], 'priority', ARGV[10], 'submitted_by', ARGV[11], 'submitted_at', at)
  redis.call('SET', record .. ':scenario', scenario)
  redis.call('XADD', record .. ':events', '*', 'type', 'state', 'data', cjson.encode({ state = 'queued' }))
  redis.call('ZADD', all, milliseconds, id)
  redis.call('ZADD', queued, milliseconds, id)
  redis.call('SET', latest, id)
end
if body ~= '' then
  redis.call('HSET', idempotency, 'body', body, 'id', id)
  redis.call('EXPIRE', idempotency, ARGV[12])
end
if outcome == 'created' then return {outcome, id} end
return {outcome, redis.call('HGETALL', 'deckpace:assessment:' .. id)}
`);
