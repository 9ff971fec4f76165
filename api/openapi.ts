import { z } from 'zod';
import { scenarioSchema } from '../scenarios/scenario.js';
import { problemKinds, problemSchema } from './problem.js';
import { none, type ReplyContract, type Route } from './route.js';

type Json = Readonly<Record<string, unknown>>;

/**
 * The interface as an OpenAPI 3.1 document, made from the routes' own contracts.
 *
 * @param version what is stated as the version of the interface's implementation
 */
export function openApiDocument(routes: readonly Route[], version: string): Json {
  const paths: Record<string, Record<string, Json>> = {};
  for (const route of routes)
    paths[route.path] = { ...paths[route.path], [route.method]: operationOf(route) };
  return {
    openapi: '3.1.0',
    info: {
      title: 'deckpace',
      version,
      description:
        'Permitted train speeds on railway viaducts with slab track, intact and after damage. Results support a licensed ' +
        'engineer and replace neither local codes nor an inspection.',
    },
    paths,
    components: {
      securitySchemes: {
        key: { type: 'http', scheme: 'bearer', description: 'Made by `deckpace keys create`.' },
      },
      schemas: {
        Scenario: schemaOf(scenarioSchema, 'input'),
        Problem: schemaOf(problemSchema, 'output'),
      },
    },
  };
}

function operationOf(route: Route): Json {
  const body = bodyOf(route);
  return {
    operationId: route.operation,
    summary: route.summary,
    ...(route.access === 'anyone'
      ? { security: [] }
      : { security: [{ key: [] }], description: `Roles: ${route.access.join(', ')}.` }),
    parameters: [
      ...parametersOf(route.params, 'path'),
      ...parametersOf(route.query, 'query'),
      ...(route.idempotency === undefined
        ? []
        : [
            {
              name: 'Idempotency-Key',
              in: 'header',
              required: false,
              schema: { type: 'string', maxLength: 200 },
            },
          ]),
    ],
    ...(body === null
      ? {}
      : { requestBody: { required: true, content: { 'application/json': { schema: body } } } }),
    responses: {
      ...Object.fromEntries(Object.entries(route.replies).map(([status, reply]) => [status, replyOf(reply)])),
      ...Object.fromEntries(problemStatuses(route).map((status) => [status, problemReply(status)])),
    },
  };
}

function bodyOf(route: Route): Json | null {
  if (route.takesScenario) return { $ref: '#/components/schemas/Scenario' };
  return route.body === none ? null : schemaOf(route.body, 'input');
}

function parametersOf(schema: z.ZodType, place: 'path' | 'query'): readonly Json[] {
  if (!(schema instanceof z.ZodObject)) return [];
  return Object.entries(schema.shape).map(([name, one]) => ({
    name,
    in: place,
    required: place === 'path',
    schema: schemaOf(one, 'input'),
  }));
}

function replyOf({ description, contentType, schema }: ReplyContract): Json {
  if (schema === undefined && contentType === undefined) return { description };
  const content =
    schema === undefined ? { schema: { type: 'string' } } : { schema: schemaOf(schema, 'output') };
  return { description, content: { [contentType ?? 'application/json']: content } };
}

/** Statuses with which a route may refuse, by what it takes. */
export function problemStatuses(route: Route): readonly number[] {
  const keyed = route.access === 'anyone' ? [] : [401, 403, 429];
  const takesBody = route.takesScenario === true || route.body !== none;
  return [
    ...new Set([
      400,
      ...keyed,
      ...(route.path === '/metrics' ? [401] : []),
      ...(route.params === none ? [] : [404, 409]),
      ...(route.path === '/v1/restrictions' ? [409] : []),
      ...(takesBody ? [404, 409, 413, 415, 422] : []),
      500,
      503,
    ]),
  ].sort((a, b) => a - b);
}

function problemReply(status: number): Json {
  const titles = Object.values(problemKinds).filter((kind) => kind.status === status);
  return {
    description: titles.map(({ title }) => title).join('; '),
    content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } },
  };
}

function schemaOf(schema: unknown, io: 'input' | 'output'): Json {
  if (!(schema instanceof z.ZodType)) throw new Error('not a schema');
  const { $schema: _, ...rest } = z.toJSONSchema(schema, { io });
  return rest;
}
