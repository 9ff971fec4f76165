import { createHash, randomUUID } from 'node:crypto';
import express, { type NextFunction, type Request, type RequestHandler, type Response } from 'express';
import { rateLimit } from 'express-rate-limit';
import helmet from 'helmet';
import type { Redis } from 'ioredis';
import { pinoHttp } from 'pino-http';
import { type RedisReply, RedisStore } from 'rate-limit-redis';
import type { ApiKey } from '../worker/keys/key-store.js';
import { loggedError } from '../worker/service/log.js';
import { isDenied, refusesToWrite } from '../worker/service/redis.js';
import { type RedisScript, redisScript } from '../worker/service/redis-script.js';
import { assertRole, authenticate, nobody } from './authenticate.js';
import { answerOnce } from './idempotency.js';
import { Problem } from './problem.js';
import { problemFrom } from './problem-from.js';
import { none, type Route } from './route.js';
import { sendProblem, sendReply } from './send-reply.js';
import type { Services } from './services.js';

/** Many times what a restriction or subscription can need; only scenarios are large. */
const OTHER_BODY_BYTES = 100_000;

const idempotencyKey = /^[\x21-\x7e]{1,200}$/;

/** The HTTP interface: every route behind the same steps, so that none can leave one out. */
export function createApp(services: Services, routes: readonly Route[]): express.Express {
  const { log, metrics } = services;
  const app = express();
  app.disable('x-powered-by');
  app.set('query parser', 'simple');
  // Answers are either small or change all the time: hashing each of them saves nothing.
  app.set('etag', false);
  app.use(
    pinoHttp<Request, Response>({
      logger: log,
      // What a client sends in headers and bodies is its own affair; the request id leads from its report to the line.
      serializers: {
        req: ({ id, method, url }) => ({ id, method, url }),
        res: ({ statusCode }) => ({ status: statusCode }),
        err: loggedError,
      },
      genReqId: (request, response) => {
        const given = request.headers['x-request-id'];
        const id = typeof given === 'string' && /^[\w-]{1,64}$/.test(given) ? given : randomUUID();
        response.setHeader('x-request-id', id);
        return id;
      },
      customLogLevel: (_request, response, error) =>
        error !== undefined || response.statusCode >= 500
          ? 'error'
          : response.statusCode >= 400
            ? 'info'
            : 'debug',
    }),
  );
  app.use(
    helmet({
      contentSecurityPolicy: {
        useDefaults: false,
        directives: { 'default-src': ["'none'"], 'frame-ancestors': ["'none'"] },
      },
    }),
  );

  // What was true a moment ago must not be taken for what trains have to obey, nor a secret be left in a cache.
  app.use((_request, response, next) => {
    response.setHeader('cache-control', 'no-store');
    next();
  });

  const keys = new WeakMap<Request, ApiKey>();
  const limit = limitByKey(services, keys);
  const scenarioBytes = Math.floor(services.settings.DECKPACE_BODY_MEGABYTES * 1e6);
  const readScenarioBody = readBody(scenarioBytes);
  const readOtherBody = readBody(Math.min(scenarioBytes, OTHER_BODY_BYTES));
  for (const route of routes) {
    const path = route.path.replaceAll(/\{(\w+)\}/g, ':$1');
    const takesBody = route.takesScenario === true || route.body !== none;
    const keyed = route.access !== 'anyone';
    app[route.method](
      path,
      timed(metrics, route),
      ...(keyed ? [identify(services, keys), limit, permit(route, keys)] : []),
      ...(takesBody ? [assertJson, route.takesScenario ? readScenarioBody : readOtherBody] : []),
      answer(services, route, keys),
    );
  }

  for (const path of new Set(routes.map((route) => route.path))) {
    const methods = routes.filter((route) => route.path === path).map((route) => route.method.toUpperCase());
    const allowed = methods.flatMap((method) => (method === 'GET' ? ['GET', 'HEAD'] : [method]));
    app.all(path.replaceAll(/\{(\w+)\}/g, ':$1'), (request) => {
      throw new Problem(
        'method-not-allowed',
        `${request.method} is not possible here; ${allowed.join(', ')} is.`,
        {
          headers: { allow: allowed.join(', ') },
        },
      );
    });
  }
  app.use(() => {
    throw new Problem('not-found', 'There is nothing at this address; /openapi.json lists what there is.');
  });
  app.use((error: unknown, request: Request, response: Response, _next: NextFunction) => {
    const problem = problemFrom(error);
    // What Redis denies its user is answered as unavailable, but somebody has to put it right.
    if (problem.kind === 'internal' || isDenied(error)) request.log.error({ err: error }, 'request failed');
    sendProblem(response, problem, String(request.id));
  });
  return app;
}

function readBody(limit: number): RequestHandler {
  return express.raw({ limit, type: () => true });
}

function identify(services: Services, keys: WeakMap<Request, ApiKey>): RequestHandler {
  return async (request, _response, next) => {
    keys.set(request, await authenticate(request, services));
    next();
  };
}

function permit(route: Route, keys: WeakMap<Request, ApiKey>): RequestHandler {
  return (request, _response, next) => {
    assertRole(keys.get(request) ?? nobody, route);
    next();
  };
}

function limitByKey({ redis, settings }: Services, keys: WeakMap<Request, ApiKey>): RequestHandler {
  const limit = rateLimit({
    windowMs: 60_000,
    limit: settings.DECKPACE_REQUESTS_PER_MINUTE,
    standardHeaders: 'draft-8',
    legacyHeaders: false,
    keyGenerator: (request) => keys.get(request)?.id ?? '',
    store: new RedisStore({ prefix: 'deckpace:rate:', sendCommand: sender(redis) }),
    handler: (_request, response, next) => {
      const headers = { 'retry-after': String(response.getHeader('retry-after') ?? 60) };
      next(
        new Problem('too-many-requests', 'This key has made too many requests; wait a little.', { headers }),
      );
    },
  });
  return (request, response, next) =>
    limit(request, response, (error) => {
      // What is only read is read, uncounted, while Redis takes no count: restrictions in force above all.
      const safe = request.method === 'GET' || request.method === 'HEAD';
      next(safe && refusesToWrite(error) ? undefined : error);
    });
}

/**
 * Sends the store's commands. Its scripts go the way of all others, in full where Redis does not know them: the store keeps a
 * failure to load one for ever.
 */
function sender(redis: Redis) {
  const scripts = new Map<string, RedisScript>();
  return async (command: string, ...values: string[]): Promise<RedisReply> => {
    const [first = '', second = ''] = values;
    if (command === 'SCRIPT' && first === 'LOAD') {
      const hash = createHash('sha1').update(second).digest('hex');
      scripts.set(hash, redisScript(second));
      return hash;
    }
    const script = command === 'EVALSHA' ? scripts.get(first) : undefined;
    if (script === undefined) return (await redis.call(command, ...values)) as RedisReply;
    const keys = Number(second);
    return (await script(redis, values.slice(2, 2 + keys), values.slice(2 + keys))) as RedisReply;
  };
}

const assertJson: RequestHandler = (request, _response, next) => {
  const empty =
    request.get('content-length') === '0' ||
    (request.get('content-length') ?? request.get('transfer-encoding')) === undefined;
  if (!empty && request.is('application/json') === false) {
    throw new Problem(
      'wrong-media-type',
      `The body must be application/json, not ${request.get('content-type') ?? 'of no type'}.`,
    );
  }
  next();
};

function answer(services: Services, route: Route, keys: WeakMap<Request, ApiKey>): RequestHandler {
  return async (request, response) => {
    const key = keys.get(request) ?? nobody;
    const bytes = Buffer.isBuffer(request.body) ? request.body : Buffer.alloc(0);
    const given = request.get('idempotency-key') ?? null;
    if (given !== null && !idempotencyKey.test(given)) {
      throw new Problem('malformed-request', 'An Idempotency-Key is 1 to 200 printable ASCII characters.');
    }
    const raw = {
      params: request.params,
      query: request.query,
      bytes,
      key,
      idempotencyKey: given,
      mark: null,
      express: { request, response },
    };
    const reply =
      route.idempotency === 'reply' && given !== null
        ? await answerOnce(
            services.redis,
            {
              scope: key.id,
              key: given,
              request: Buffer.concat([Buffer.from(`${request.originalUrl}\n`), bytes]),
            },
            (mark) => route.answer({ ...raw, mark }, services),
          )
        : await route.answer(raw, services);
    await sendReply(request, response, reply);
  };
}

function timed({ httpSeconds }: Services['metrics'], route: Route): RequestHandler {
  return (_request, response, next) => {
    const end = httpSeconds.startTimer({ method: route.method, route: route.path });
    response.on('close', () => end({ status: String(response.statusCode) }));
    next();
  };
}
