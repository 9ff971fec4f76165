import { createHash, randomBytes, randomUUID } from 'node:crypto';
import type { Redis } from 'ioredis';
import { z } from 'zod';
import { redisScript } from '../worker/service/redis-script.js';
import { Problem } from './problem.js';
import { problemFrom } from './problem-from.js';
import type { Reply } from './route.js';

const IN_FLIGHT_SECONDS = 30;
const KEPT_SECONDS = 86_400;
const FREED_AGAIN_MILLISECONDS = 250;

const stored = z.strictObject({
  request: z.string(),
  reply: z
    .strictObject({
      status: z.int(),
      json: z.unknown(),
      headers: z.record(z.string(), z.string()).optional(),
    })
    .nullable(),
  /** Of an entry without a reply: who answers. */
  attempt: z.string().optional(),
});

const begun = z.strictObject({ request: z.string(), mark: z.string() });

/**
 * Answers a request once per Idempotency-Key: a repetition gets the first answer again, one that comes while the first is
 * being answered 409, another request under the same key 422. Refusals are not kept, so that they can be mended. Where the
 * first came to no answer, nobody knows what it did: the repetition is answered anew, with the mark that the first had.
 *
 * @param answer takes the mark, 16 hexadecimal digits: what the request makes is named by it, and so made once
 */
export async function answerOnce(
  redis: Redis,
  { scope, key, request }: { readonly scope: string; readonly key: string; readonly request: Buffer },
  answer: (mark: string) => Promise<Reply>,
): Promise<Reply> {
  const place = `deckpace:idempotent-reply:${scope}:${key}`;
  const beginning = `deckpace:idempotent-request:${scope}:${key}`;
  const digest = createHash('sha256').update(request).digest('hex');
  const own = JSON.stringify({ request: digest, reply: null, attempt: randomUUID() });
  try {
    const earlier = await replyBefore(redis, place, own, digest);
    if (earlier !== null) return earlier;
    const reply = await answer(await markOf(redis, beginning, digest));
    if ('json' in reply) {
      await redis.set(place, JSON.stringify({ request: digest, reply }), 'EX', KEPT_SECONDS);
    }
    return reply;
  } catch (error) {
    const { kind, status } = problemFrom(error);
    const refused = status < 500 && kind !== 'idempotency-mismatch';
    await freed(redis, [place, ...(refused ? [beginning] : [])], own);
    throw error;
  }
}

/**
 * The stored answer of the first request; null where this one is the first, whose entry then stands.
 *
 * @throws Problem (422, 409) when that was another request, or is being answered
 */
async function replyBefore(redis: Redis, place: string, own: string, request: string): Promise<Reply | null> {
  const first = await redis.set(place, own, 'EX', IN_FLIGHT_SECONDS, 'NX');
  const text = first === null ? await redis.get(place) : own;
  // Its own entry finds a request whose connection to Redis was lost with the first answer.
  if (text === own) return null;
  const before = text === null ? null : stored.parse(JSON.parse(text));
  if (before !== null && before.request !== request) throw mismatch();
  if (before?.reply) {
    const { status, json, headers } = before.reply;
    return { status, json, headers: { ...headers, 'idempotency-replayed': 'true' } };
  }
  throw new Problem('in-flight', 'The first request under this Idempotency-Key is still being answered.', {
    headers: { 'retry-after': '1' },
  });
}

/**
 * Frees the key, so that the repetition is answered. Where Redis has gone with the answer, as it mostly has, that is done when it is
 * back, and the answer does not wait for it; longer than the entry would stand anyway it is not tried.
 */
async function freed(redis: Redis, entries: readonly string[], own: string): Promise<void> {
  const end = performance.now() + IN_FLIGHT_SECONDS * 1000;
  const tried = (): Promise<boolean> =>
    free(redis, entries, [own]).then(
      () => true,
      () => false,
    );
  if (await tried()) return;
  const timer = setInterval(async () => {
    if ((await tried()) || performance.now() > end) clearInterval(timer);
  }, FREED_AGAIN_MILLISECONDS);
  timer.unref();
}

/** Not what another request has entered since. */
const free = redisScript(`
if redis.call('GET', KEYS[1]) ~= ARGV[1] then return 0 end
for _, key in ipairs(KEYS) do redis.call('DEL', key) end
return 1
`);

/**
 * The mark of the first request under the key that was not refused.
 *
 * @throws Problem (422) when that was another request
 */
async function markOf(redis: Redis, beginning: string, request: string): Promise<string> {
  const own = JSON.stringify({ request, mark: randomBytes(8).toString('hex') });
  await redis.set(beginning, own, 'EX', KEPT_SECONDS, 'NX');
  const known = begun.parse(JSON.parse((await redis.get(beginning)) ?? own));
  if (known.request !== request) throw mismatch();
  return known.mark;
}

function mismatch(): Problem {
  return new Problem('idempotency-mismatch', 'Another request was made under this Idempotency-Key.');
}
