import { timingSafeEqual } from 'node:crypto';
import { z } from 'zod';
import { presentWorkers } from '../../worker/service/worker-presence.js';
import { writeRefusal } from '../../worker/service/write-refusal.js';
import { Problem } from '../problem.js';
import { none, route } from '../route.js';

const health = route({
  method: 'get',
  path: '/healthz',
  operation: 'health',
  summary: 'This process answers.',
  access: 'anyone',
  params: none,
  query: none,
  body: none,
  replies: { 200: { description: 'Alive', schema: z.strictObject({ status: z.literal('alive') }) } },
  handle: async () => ({ status: 200, json: { status: 'alive' } }),
});

const readiness = route({
  method: 'get',
  path: '/readyz',
  operation: 'readiness',
  summary:
    'Requests can be served: Redis answers and takes what is written. 503, with the reason, while it does not, and while this process ends; for=reading asks only whether what is read can be served.',
  access: 'anyone',
  params: none,
  query: z.strictObject({ for: z.enum(['everything', 'reading']).default('everything') }),
  body: none,
  replies: {
    200: {
      description: 'Ready',
      schema: z.strictObject({
        status: z.literal('ready'),
        writes: z.enum(['accepted', 'refused']),
        /** Null while writes are refused: nothing is known of them. */
        workers: z.int().nullable(),
        engine: z.string(),
      }),
    },
  },
  handle: async ({ query }, { redis, engine, events }) => {
    if (events.ended.aborted) throw new Problem('unavailable', 'This process is ending; ask another.');
    const refusal = await writeRefusal(redis);
    if (refusal !== null && query.for === 'everything') {
      throw new Problem(
        'unavailable',
        `${refusal}: what writes is refused. What only reads is served; /readyz?for=reading asks for that alone.`,
        { headers: { 'retry-after': '2' } },
      );
    }
    const workers = refusal === null ? await presentWorkers(redis) : null;
    return {
      status: 200,
      json: {
        status: 'ready',
        writes: workers === null ? 'refused' : 'accepted',
        workers: workers?.length ?? null,
        engine,
      },
    };
  },
});

const metrics = route({
  method: 'get',
  path: '/metrics',
  operation: 'metrics',
  summary: 'Prometheus metrics; asks for DECKPACE_METRICS_TOKEN as bearer token where that is set.',
  access: 'anyone',
  params: none,
  query: none,
  body: none,
  replies: { 200: { description: 'Metrics', contentType: 'text/plain' } },
  handle: async ({ express }, { metrics, settings }) => {
    const token = settings.DECKPACE_METRICS_TOKEN;
    if (token !== undefined) {
      const expected = Buffer.from(`Bearer ${token}`);
      const given = Buffer.from(express.request.get('authorization') ?? '');
      if (given.length !== expected.length || !timingSafeEqual(given, expected)) {
        throw new Problem('key-needed', 'The metrics take the token of DECKPACE_METRICS_TOKEN.');
      }
    }
    return { status: 200, text: await metrics.registry.metrics(), contentType: metrics.registry.contentType };
  },
});

export const operationRoutes = [health, readiness, metrics];
