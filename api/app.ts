import express, { type NextFunction, type Request, type RequestHandler, type Response } from 'express';
import helmet from 'helmet';
import type { ApiKey } from '../worker/keys/key-store.js';
import { assertRole, authenticate, nobody } from './authenticate.js';
import { answerOnce } from './idempotency.js';
import { logRequests, requestFields, requestIdOf } from './log-requests.js';
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
  app.use(logRequests(log));
  app.use(
    helmet({
      contentSecurityPolicy: {
        useDefaults: false,
        directives: { 'default-src': ["'none'"], 'frame-ancestors': ["'none'"] },
      },
    }),
  );

  const keys = new WeakMap<Request, ApiKey>();
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
      ...(keyed ? [identify(services, keys, route)] : []),
      ...(takesBody ? [assertJson, route.takesScenario ? readScenarioBody : readOtherBody] : []),
      answer(services, route, keys),
    );
  }

  for (const path of new Set(routes.map((route) => route.path))) {
    const allowed = routes.filter((route) => route.path === path).map((route) => route.method.toUpperCase());
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
    if (problem.kind === 'internal') {
      log.error({ req: requestFields(request, response), err: error }, 'request failed');
    }
    sendProblem(response, problem, requestIdOf(response));
  });
  return app;
}

function readBody(limit: number): RequestHandler {
  return express.raw({ limit, type: () => true });
}

/** The key first, then its rate, then its role. */
function identify(services: Services, keys: WeakMap<Request, ApiKey>, route: Route): RequestHandler {
  return async (request, response, next) => {
    const key = await authenticate(request, response, services);
    assertRole(key, route);
    keys.set(request, key);
    next();
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
            () => route.answer(raw, services),
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
