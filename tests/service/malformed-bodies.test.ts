import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { problemSchema } from '../../api/problem.js';
import { scenarioOf } from './support/scenario.js';
import { type Client, Service } from './support/service.js';

/** DECKPACE_MALFORMED_BODIES sets another number. */
const BODIES = Number(process.env.DECKPACE_MALFORMED_BODIES ?? 10_000);
const AT_ONCE = 40;

let service: Service;
let engineer: Client;
beforeAll(async () => {
  service = await Service.start();
  engineer = await service.client('E. Engineer', 'engineer');
});
afterAll(() => service.stop());

const complete = {
  ...scenarioOf('Mutated', 'one', 'two'),
  supports: [{ id: 'A1' }, { id: 'P1', stiffness_N_per_m: 3e9 }, { id: 'A2' }],
  deck: {
    spans: [
      { length_m: 30, mass_kg_per_m: 15_000, flexural_rigidity_N_m2: 1e11 },
      { length_m: 30, mass_kg_per_m: 15_000, flexural_rigidity_N_m2: 1e11 },
    ],
    damping_ratio: 0.01,
  },
  track: {
    rail: { mass_kg_per_m: 120, flexural_rigidity_N_m2: 12.76e6 },
    fastening: { spacing_m: 0.65, stiffness_N_per_m: 80e6, damping_N_s_per_m: 60e3 },
    slab: { mass_kg_per_m: 1600, flexural_rigidity_N_m2: 2.3e8, panel_length_m: null },
    bedding: { stiffness_N_per_m2: 6e7, damping_N_s_per_m2: 5e4 },
  },
  speeds: { from_kmh: 10, to_kmh: 240, step_kmh: 5 },
  resistance: {
    spans: [
      { sagging_kNm: 20_000, hogging_kNm: 20_000, shear_kN: 4000 },
      { sagging_kNm: 20_000, hogging_kNm: 20_000, shear_kN: 4000 },
    ],
    supports: [{ id: 'P1', reaction_kN: 9000 }],
  },
  damage_cases: [
    { id: 'P1-lost', effects: [{ kind: 'support-stiffness-loss', support: 'P1', fraction: 1 }] },
  ],
  limits: { set: 'en-1990-a2', overrides: { 'deck-acceleration': 5 } },
  decision: { overspeed_factor: 1.2, round_down_to_kmh: 5 },
};

type Path = readonly (string | number)[];
function pathsOf(value: unknown, path: Path = []): readonly Path[] {
  if (typeof value !== 'object' || value === null) return [path];
  return [path, ...Object.entries(value).flatMap(([key, inner]) => pathsOf(inner, [...path, key]))];
}
const paths = pathsOf(complete);

// biome-ignore lint/suspicious/noExplicitAny: whatever JSON can hold stands here, and is about to be broken
type Anything = any;

const hostile = fc.oneof(
  fc.jsonValue(),
  fc.constantFrom(
    null,
    true,
    '',
    '0',
    '1e999',
    -1,
    0,
    -0,
    1e308,
    5e-324,
    [],
    {},
    [[]],
    '__proto__',
    'toString',
    '\u0000',
    '\ud800',
  ),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.constant('x'.repeat(30_000)),
  fc.array(fc.constant({}), { maxLength: 300 }),
);

const mutation = fc.record({
  path: fc.constantFrom(...paths),
  kind: fc.constantFrom('replace', 'remove', 'rename', 'add', 'repeat', 'swap'),
  value: hostile,
  key: fc.oneof(fc.string(), fc.constantFrom('__proto__', 'constructor', 'length_mm', 'toJSON', '')),
});

function mutated(
  document: Anything,
  changes: readonly { path: Path; kind: string; value: Anything; key: string }[],
): Anything {
  let root = structuredClone(document);
  for (const { path, kind, value, key } of changes) {
    if (path.length === 0) {
      if (kind === 'replace') root = value;
      continue;
    }
    const parent = path.slice(0, -1).reduce((at, step) => at?.[step], root);
    const last = path.at(-1)!;
    if (typeof parent !== 'object' || parent === null) continue;
    if (kind === 'replace') parent[last] = value;
    else if (kind === 'remove') delete parent[last];
    else if (kind === 'repeat' && Array.isArray(parent)) parent.push(parent[Number(last)]);
    else if (kind === 'swap' && Array.isArray(parent)) parent.reverse();
    else
      Reflect.defineProperty(parent, key, {
        value: kind === 'rename' ? parent[last] : value,
        enumerable: true,
        configurable: true,
        writable: true,
      });
  }
  return root;
}

const fromSchema = fc
  .array(mutation, { minLength: 1, maxLength: 4 })
  .map((changes) => JSON.stringify(mutated(complete, changes)) ?? '');
const brokenText = fc
  .tuple(fromSchema, fc.nat(), fc.string({ maxLength: 5 }), fc.constantFrom('cut', 'insert', 'drop', 'deep'))
  .map(([text, at, inserted, kind]) => {
    const place = at % (text.length + 1);
    if (kind === 'cut') return text.slice(0, place);
    if (kind === 'insert') return text.slice(0, place) + inserted + text.slice(place);
    if (kind === 'drop') return text.slice(0, place) + text.slice(place + 1);
    return '['.repeat(place % 5000) + text;
  });
const bytes = fc.uint8Array({ maxLength: 200 });
const body = fc.oneof(
  { weight: 6, arbitrary: fromSchema },
  { weight: 2, arbitrary: brokenText },
  { weight: 1, arbitrary: bytes },
  { weight: 1, arbitrary: fc.json() },
);

async function answerTo(sent: string | Uint8Array): Promise<{ status: number; text: string }> {
  const response = await engineer.fetch('POST', '/v1/assessments', {
    headers: { 'content-type': 'application/json' },
    body: typeof sent === 'string' ? sent : new Uint8Array(sent),
  });
  return { status: response.status, text: await response.text() };
}

test(`none of ${BODIES} malformed bodies is answered by more than a problem with its faults`, {
  timeout: 240_000,
}, async () => {
  const statuses = new Map<number, number>();
  await fc.assert(
    fc.asyncProperty(fc.array(body, { minLength: AT_ONCE, maxLength: AT_ONCE }), async (bodies) => {
      for (const { status, text } of await Promise.all(bodies.map(answerTo))) {
        statuses.set(status, (statuses.get(status) ?? 0) + 1);
        expect([202, 400, 413, 422]).toContain(status);
        if (status === 202) continue;
        const problem = problemSchema.parse(JSON.parse(text));
        for (const fault of problem.faults ?? []) expect(fault.message).toContain(fault.accepted);
        if (status === 422) expect(problem.faults?.length).toBeGreaterThan(0);
      }
    }),
    {
      numRuns: Math.ceil(BODIES / AT_ONCE),
      endOnFailure: true,
      // The same bodies on every change, so that a red run is about the change.
      seed: Number(process.env.DECKPACE_FUZZ_SEED ?? 20261125),
    },
  );
  // The bodies reached every kind of refusal; a few mutations leave a valid scenario.
  expect(statuses.get(400)).toBeGreaterThan(0);
  expect(statuses.get(422)).toBeGreaterThan(BODIES / 4);
});
