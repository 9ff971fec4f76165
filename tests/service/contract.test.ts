import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { problemSchema } from '../../api/problem.js';
import { allRoutes } from '../../api/routes/all-routes.js';
import { scenarioOf } from './support/scenario.js';
import { type Client, Service } from './support/service.js';
import { until } from './support/until.js';

/** Every route of the OpenAPI document is asked, and what it answers is held to the schema that the document states. */

interface Operation {
  readonly operationId: string;
  readonly responses: Readonly<Record<string, { content?: Record<string, { schema: unknown }> }>>;
  readonly security?: readonly unknown[];
}
interface OpenApi {
  readonly paths: Readonly<Record<string, Record<string, Operation>>>;
  readonly components: { readonly schemas: Record<string, unknown> };
}

let service: Service;
let document: OpenApi;
const clients: Record<string, Client> = {};
const known = { assessment: '', pending: '', restriction: '', draft: '', subscription: '' };
const asked = new Set<string>();

beforeAll(async () => {
  service = await Service.start();
  await service.startWorker();
  for (const role of ['engineer', 'approver', 'operator', 'ci'] as const)
    clients[role] = await service.client(`The ${role}`, role);
  document = (await (await fetch(`${service.url}/openapi.json`)).json()) as OpenApi;
  const engineer = clients.engineer!;
  known.assessment = (await engineer.post('/v1/assessments', scenarioOf('Contract', 'calm'))).body.id;
  await until(
    'completed',
    async () => (await engineer.get(`/v1/assessments/${known.assessment}`)).body.state === 'completed',
  );
  known.pending = (await engineer.post('/v1/assessments', scenarioOf('Pending', 'loop'))).body.id;
  const draft = { assessment: known.assessment, damage_case: 'intact', class: 'passenger' };
  known.restriction = (await engineer.post('/v1/restrictions', draft)).body.id;
  known.draft = (await engineer.post('/v1/restrictions', draft)).body.id;
  known.subscription = (
    await clients.operator!.post('/v1/subscriptions', { url: 'https://receiver.example/hook' })
  ).body.id;
});
afterAll(() => service.stop());

/** One request per operation that must succeed: who asks, and what with. */
const requests: Readonly<
  Record<string, () => { as: string; path?: string; body?: unknown; status: number }>
> = {
  submitAssessment: () => ({ as: 'ci', body: scenarioOf('Contract again', 'calm'), status: 202 }),
  listAssessments: () => ({ as: 'ci', status: 200 }),
  readAssessment: () => ({ as: 'approver', path: `/v1/assessments/${known.assessment}`, status: 200 }),
  cancelAssessment: () => ({ as: 'engineer', path: `/v1/assessments/${known.pending}`, status: 202 }),
  readResult: () => ({ as: 'ci', path: `/v1/assessments/${known.assessment}/result`, status: 200 }),
  readReport: () => ({ as: 'engineer', path: `/v1/assessments/${known.assessment}/report`, status: 200 }),
  readSweeps: () => ({ as: 'engineer', path: `/v1/assessments/${known.assessment}/sweeps.csv`, status: 200 }),
  followAssessment: () => ({
    as: 'engineer',
    path: `/v1/assessments/${known.assessment}/events`,
    status: 200,
  }),
  draftRestriction: () => ({
    as: 'engineer',
    body: { assessment: known.assessment, damage_case: 'intact', class: 'passenger' },
    status: 201,
  }),
  listRestrictions: () => ({ as: 'operator', status: 200 }),
  readRestriction: () => ({ as: 'operator', path: `/v1/restrictions/${known.restriction}`, status: 200 }),
  readRestrictionHistory: () => ({
    as: 'operator',
    path: `/v1/restrictions/${known.restriction}/history`,
    status: 200,
  }),
  readRestrictionReport: () => ({
    as: 'operator',
    path: `/v1/restrictions/${known.restriction}/report`,
    status: 200,
  }),
  approveRestriction: () => ({
    as: 'approver',
    path: `/v1/restrictions/${known.restriction}/approval`,
    body: {},
    status: 200,
  }),
  withdrawRestriction: () => ({
    as: 'engineer',
    path: `/v1/restrictions/${known.draft}/withdrawal`,
    body: { reason: 'A slip.' },
    status: 200,
  }),
  createSubscription: () => ({
    as: 'operator',
    body: { url: 'https://receiver.example/other' },
    status: 201,
  }),
  listSubscriptions: () => ({ as: 'operator', status: 200 }),
  listDeliveries: () => ({
    as: 'operator',
    path: `/v1/subscriptions/${known.subscription}/deliveries`,
    status: 200,
  }),
  removeSubscription: () => ({
    as: 'operator',
    path: `/v1/subscriptions/${known.subscription}`,
    status: 204,
  }),
  readLibraryTrains: () => ({ as: 'anyone', status: 200 }),
  readLibraryLimits: () => ({ as: 'anyone', status: 200 }),
  readLibraryTrack: () => ({ as: 'anyone', status: 200 }),
  readLibraryVehicles: () => ({ as: 'anyone', status: 200 }),
  readScenarioSchema: () => ({ as: 'anyone', status: 200 }),
  health: () => ({ as: 'anyone', status: 200 }),
  readiness: () => ({ as: 'anyone', status: 200 }),
  metrics: () => ({ as: 'anyone', status: 200 }),
  readOpenApi: () => ({ as: 'anyone', status: 200 }),
};
/** Later than the others, because it takes away what they ask for. */
const order = (route: { operation: string }) => (route.operation === 'removeSubscription' ? 1 : 0);
const routes = [...allRoutes].sort((a, b) => order(a) - order(b));

async function ask(as: string, method: string, path: string, body?: unknown): Promise<Response> {
  const init = {
    method: method.toUpperCase(),
    headers: {
      ...(body === undefined ? {} : { 'content-type': 'application/json' }),
      ...(clients[as] === undefined ? {} : { authorization: `Bearer ${clients[as].token}` }),
    },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  };
  return fetch(service.url + path, init);
}

/** Holds an answer to what the document says of it. */
async function meetsDocument(operation: Operation, response: Response): Promise<string> {
  const stated = operation.responses[String(response.status)];
  const text = await response.text();
  expect(stated, `${operation.operationId} does not state ${response.status}: ${text}`).toBeDefined();
  if (stated?.content === undefined) {
    expect(text).toBe('');
    return text;
  }
  const type = response.headers.get('content-type')?.split(';')[0] ?? '';
  const content = stated.content[type];
  expect(content, `${operation.operationId} does not state ${type}`).toBeDefined();
  if (!type.endsWith('json')) return text;
  const schema = content?.schema as { $ref?: string };
  const resolved =
    schema.$ref === undefined ? schema : document.components.schemas[schema.$ref.split('/').at(-1) ?? ''];
  const outcome = z
    .fromJSONSchema(resolved as Parameters<typeof z.fromJSONSchema>[0])
    .safeParse(JSON.parse(text));
  expect(outcome.error?.issues ?? []).toEqual([]);
  return text;
}

test('the document states every route of the service and no other', () => {
  const stated = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.keys(methods).map((method) => `${method} ${path}`),
  );
  expect(stated.sort()).toEqual(allRoutes.map(({ method, path }) => `${method} ${path}`).sort());
  expect(new Set(allRoutes.map(({ operation }) => operation)).size).toBe(allRoutes.length);
  expect(Object.keys(requests).sort()).toEqual(allRoutes.map(({ operation }) => operation).sort());
});

describe.each(routes.map((route) => [`${route.method} ${route.path}`, route] as const))(
  '%s',
  (_name, route) => {
    const operation = () => document.paths[route.path]![route.method]!;

    test('without a key, with a wrong key and with a role that does not fit is refused', async () => {
      const path = route.path.replace('{id}', 'a0');
      if (route.access === 'anyone') {
        expect(operation().security).toEqual([]);
        return;
      }
      for (const authorization of ['', 'Bearer nonsense', `Bearer deckpace_000000000000_${'x'.repeat(43)}`]) {
        const response = await fetch(service.url + path, {
          method: route.method.toUpperCase(),
          headers: { authorization },
        });
        expect(response.status).toBe(401);
        expect(response.headers.get('www-authenticate')).toContain('Bearer');
        problemSchema.parse(JSON.parse(await meetsDocument(operation(), response)));
      }
      for (const role of ['engineer', 'approver', 'operator', 'ci'] as const) {
        if (route.access.includes(role)) continue;
        const response = await ask(role, route.method, path);
        expect([role, response.status]).toEqual([role, 403]);
        await meetsDocument(operation(), response);
      }
    });

    test('answers as the document says', async () => {
      const request = requests[route.operation]!();
      const response = await ask(request.as, route.method, request.path ?? route.path, request.body);
      expect(response.status).toBe(request.status);
      expect(response.headers.get('x-request-id')).toBeTruthy();
      expect(response.headers.get('x-content-type-options')).toBe('nosniff');
      expect(response.headers.get('cache-control')).toBe('no-store');
      expect(response.headers.get('content-security-policy')).toContain("default-src 'none'");
      await meetsDocument(operation(), response);
      asked.add(route.operation);
    });

    test('names the methods that are possible', async () => {
      const possible = Object.keys(document.paths[route.path]!);
      const other = ['put', 'patch', 'delete', 'post'].find((method) => !possible.includes(method))!;
      const response = await ask('engineer', other, route.path.replace('{id}', 'a0'));
      expect(response.status).toBe(405);
      const allowed = possible.includes('get') ? [...possible, 'head'] : possible;
      expect(response.headers.get('allow')?.toLowerCase().split(', ').sort()).toEqual(allowed.sort());
    });

    if (route.method === 'get') return;
    test('refuses a parameter that it does not know', async () => {
      const request = requests[route.operation]!();
      const path = `${request.path ?? route.path}?reason=Checked`;
      const response = await ask(request.as, route.method, path, request.body);
      expect(response.status).toBe(400);
      await meetsDocument(operation(), response);
    });
  },
);

test.each(
  routes
    .filter(({ path }) => path.includes('{id}'))
    .map((route) => [`${route.method} ${route.path}`, route] as const),
)('%s refuses what is not there, in the stated form', async (_name, route) => {
  const operation = document.paths[route.path]![route.method]!;
  const role = route.access[0] ?? 'engineer';
  const absent = {
    assessments: 'a0',
    restrictions: `r${'0'.repeat(16)}`,
    subscriptions: `s${'0'.repeat(16)}`,
  };
  const id = Object.entries(absent).find(([kind]) => route.path.includes(kind))?.[1] ?? '';
  for (const wrong of [id, '..%2f..', "'; drop", '%00']) {
    const path = route.path.replace('{id}', encodeURIComponent(wrong));
    const body = route.method === 'post' ? { reason: 'Because.' } : undefined;
    const response = await ask(role, route.method, path, body);
    expect(response.status).toBe(404);
    await meetsDocument(operation, response);
  }
});

test('every route was asked', () => {
  expect([...asked].sort()).toEqual(allRoutes.map(({ operation }) => operation).sort());
});
