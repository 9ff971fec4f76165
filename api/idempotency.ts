import { createHash } from 'node:crypto';
import type { Redis } from 'ioredis';
import { z } from 'zod';
import { Problem } from './problem.js';
import type { Reply } from './route.js';

const IN_FLIGHT_SECONDS = 30;
const KEPT_SECONDS = 86_400;

const stored = z.strictObject({
  request: z.string(),
  reply: z
    .strictObject({
      status: z.int(),
      json: z.unknown(),
      headers: z.record(z.string(), z.string()).optional(),
    })
    .nullable(),
});

/**
 * Answers a request once per Idempotency-Key: a repetition gets the first answer again, one that comes while the first is
 * being answered 409, another request under the same key 422. Refusals are not kept, so that they can be mended.
 */
export async function answerOnce(
  redis: Redis,
  { scope, key, request }: { readonly scope: string; readonly key: string; readonly request: Buffer },
  answer: () => Promise<Reply>,
): Promise<Reply> {
  const place = `deckpace:idempotent-reply:${scope}:${key}`;
  const digest = createHash('sha256').update(request).digest('hex');
  const begun = await redis.set(
    place,
    JSON.stringify({ request: digest, reply: null }),
    'EX',
    IN_FLIGHT_SECONDS,
    'NX',
  );
  if (begun === null) {
    const text = await redis.get(place);
    const before = text === null ? null : stored.parse(JSON.parse(text));
    if (before !== null && before.request !== digest) {
      throw new Problem('idempotency-mismatch', 'Another request was made under this Idempotency-Key.');
    }
    if (before?.reply) {
      const { status, json, headers } = before.reply;
      return { status, json, headers: { ...headers, 'idempotency-replayed': 'true' } };
    }
    throw new Problem('in-flight', 'The first request under this Idempotency-Key is still being answered.', {
      headers: { 'retry-after': '1' },
    });
  }
  try {
    const reply = await answer();
    if ('json' in reply) {
      await redis.set(place, JSON.stringify({ request: digest, reply }), 'EX', KEPT_SECONDS);
    }
    return reply;
  } catch (error) {
    // Best effort: where Redis is gone, the entry ends by itself.
    await redis.del(place).catch(() => {});
    throw error;
  }
}
