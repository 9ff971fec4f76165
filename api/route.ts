import type { Request, Response } from 'express';
import { z } from 'zod';
import { parseJson } from '../scenarios/faults/parse-json.js';
import type { ApiKey } from '../worker/keys/key-store.js';
import type { Role } from '../worker/keys/role.js';
import { Problem, type ProblemKind, type RequestFault } from './problem.js';
import { faultsFrom } from './problem-from.js';
import type { Services } from './services.js';

/** What a handler answers. */
export type Reply =
  | { readonly status: number; readonly json: unknown; readonly headers?: Readonly<Record<string, string>> }
  | {
      readonly status: number;
      /** gzip; unpacked for clients that do not take it. */
      readonly gzip: Buffer;
      readonly contentType: string;
      readonly headers?: Readonly<Record<string, string>>;
    }
  | { readonly status: number; readonly text: string; readonly contentType: string }
  | { readonly status: 204 }
  /** The handler has taken the response over. */
  | { readonly streamed: true };

/** What may be answered, as the OpenAPI document says it and the tests hold it to. */
export interface ReplyContract {
  readonly description: string;
  readonly contentType?: string;
  readonly schema?: z.ZodType;
}

/** A request as the dispatcher has it: authenticated, its body read, nothing judged yet. */
export interface RawRequest {
  readonly params: unknown;
  readonly query: unknown;
  /** The body as it came; empty where there was none. */
  readonly bytes: Buffer;
  /** Who asks; on routes open to anyone a nobody without roles. */
  readonly key: ApiKey;
  readonly idempotencyKey: string | null;
  /** The same for every repetition under one Idempotency-Key, where the route's idempotency is 'reply'; null without a key. */
  readonly mark: string | null;
  readonly express: { readonly request: Request; readonly response: Response };
}

export interface RouteRequest<Params, Query, Body> extends RawRequest {
  readonly params: Params;
  readonly query: Query;
  readonly body: Body;
}

interface RouteContract {
  readonly method: 'get' | 'post' | 'delete';
  /** As in OpenAPI: /v1/assessments/{id}. */
  readonly path: string;
  readonly operation: string;
  readonly summary: string;
  readonly access: 'anyone' | readonly Role[];
  /** The body is a scenario: the scenario reader judges the bytes, not a schema here. */
  readonly takesScenario?: boolean;
  /** 'reply': a repetition under the same Idempotency-Key gets the first answer. 'own': the handler sees to it. */
  readonly idempotency?: 'reply' | 'own';
  readonly replies: Readonly<Record<number, ReplyContract>>;
}

/** One route: the contract, from which the OpenAPI document is made, and what answers. */
export interface Route extends RouteContract {
  readonly params: z.ZodType;
  readonly query: z.ZodType;
  readonly body: z.ZodType;
  /** @throws Problem for a request that does not meet the contract, and what the handler throws */
  readonly answer: (request: RawRequest, services: Services) => Promise<Reply>;
}

interface RouteDefinition<Params, Query, Body> extends RouteContract {
  readonly params: z.ZodType<Params>;
  readonly query: z.ZodType<Query>;
  readonly body: z.ZodType<Body>;
  readonly handle: (request: RouteRequest<Params, Query, Body>, services: Services) => Promise<Reply>;
}

/** Stands where a route has no parameters or no body. */
export const none = z.unknown();

/** Ties the handler's types to the contract's schemas: what the handler gets has been parsed by them. */
export function route<Params, Query, Body>(definition: RouteDefinition<Params, Query, Body>): Route {
  const { handle, ...contract } = definition;
  return {
    ...contract,
    answer: (request, services) => {
      assertNoStrays(definition, request.query);
      return handle(
        {
          ...request,
          params: parsed(definition.params, request.params, 'the path', 'not-found'),
          query: parsed(definition.query, request.query, 'the query', 'malformed-request'),
          body: parsed(
            definition.body,
            definition.body === none ? undefined : jsonOf(request.bytes),
            'the body',
            'invalid-request',
          ),
        },
        services,
      );
    },
  };
}

const noParameters = z.strictObject({});

/** What changes something takes no parameter that it does not know: a reason or a predecessor in the wrong place would go unheard. */
function assertNoStrays({ method, query }: Pick<Route, 'method' | 'query'>, given: unknown): void {
  if (method !== 'get' && query === none) parsed(noParameters, given, 'the query', 'malformed-request');
}

function parsed<T>(schema: z.ZodType<T>, value: unknown, where: string, kind: ProblemKind): T {
  const outcome = schema.safeParse(value);
  if (outcome.success) return outcome.data;
  throw invalid(kind, faultsFrom(outcome.error, where));
}

function invalid(kind: ProblemKind, faults: readonly RequestFault[]): Problem {
  const detail = faults.map(({ message }) => message).join('; ');
  return new Problem(kind, detail.slice(0, 1000), { faults });
}

/** No body is an empty one. A key that stands twice is a fault: of two speeds or reasons the last would silently count. */
function jsonOf(bytes: Buffer): unknown {
  if (bytes.length === 0) return {};
  const reading = parseJson(bytes);
  if (reading.ok) return reading.document;
  const { faults } = reading;
  if (faults.every(({ code }) => code === 'duplicate-key')) throw invalid('invalid-request', faults);
  throw new Problem('malformed-body', 'The body must be one JSON document in UTF-8.');
}
