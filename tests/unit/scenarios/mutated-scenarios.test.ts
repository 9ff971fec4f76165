import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { faultCodes } from '../../../scenarios/fault-codes.js';
import { readScenario } from '../../../scenarios/read-scenario.js';
import { scenarioSchema } from '../../../scenarios/scenario.js';
import { translateScenario } from '../../../scenarios/translate.js';
import { fullScenario } from './minimal-scenario.js';

/** A change at one place of a document: the place is chosen by a number, so that it shrinks. */
interface Mutation {
  readonly place: number;
  readonly action: 'replace' | 'remove' | 'rename' | 'repeat';
  readonly value: unknown;
}

const odd = fc.oneof(
  fc.constantFrom<unknown>(0, -1, 1e-9, 1e30, '', 'P1', 'intact', null, true, [], {}, [null], { kind: 'x' }),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.string(),
  fc.jsonValue({ maxDepth: 2 }),
);

const mutation: fc.Arbitrary<Mutation> = fc.record({
  place: fc.nat(),
  action: fc.constantFrom('replace', 'remove', 'rename', 'repeat'),
  value: odd,
});

/** Every object or list of the document with one of its keys. */
function places(value: unknown): { parent: object; key: string }[] {
  if (typeof value !== 'object' || value === null) return [];
  return Object.keys(value).flatMap((key) => [{ parent: value, key }, ...places(Reflect.get(value, key))]);
}

function mutate(document: unknown, { place, action, value }: Mutation): void {
  const all = places(document);
  const chosen = all[place % Math.max(all.length, 1)];
  if (chosen === undefined) return;
  const { parent, key } = chosen;
  const old: unknown = Reflect.get(parent, key);
  if (action === 'replace') Reflect.set(parent, key, value);
  else if (action === 'repeat' && Array.isArray(old)) old.push(...structuredClone(old));
  else if (Array.isArray(parent)) parent.splice(Number(key), 1);
  else {
    Reflect.deleteProperty(parent, key);
    if (action === 'rename') Reflect.set(parent, `${key.slice(0, -1)}x`, old);
  }
}

describe('a scenario with anything changed anywhere', () => {
  it('is judged the same by the compiled schema as by the plain one', () => {
    const compiled = z.compile(scenarioSchema, { strict: true });
    let accepted = 0;
    fc.assert(
      fc.property(fc.array(mutation, { maxLength: 2 }), (mutations) => {
        const document = fullScenario();
        for (const one of mutations) mutate(document, one);
        const plain = scenarioSchema.safeParse(document);
        expect(JSON.stringify(compiled.safeParse(document))).toBe(JSON.stringify(plain));
        if (plain.success) accepted++;
      }),
      { numRuns: 500 },
    );
    expect(accepted).toBeGreaterThan(10);
  });

  it('is either read and translated, or refused with faults that are well formed, and never throws', () => {
    let accepted = 0;
    let refused = 0;
    fc.assert(
      fc.property(fc.array(mutation, { minLength: 1, maxLength: 4 }), (mutations) => {
        const document = fullScenario();
        for (const one of mutations) mutate(document, one);
        const reading = readScenario(JSON.stringify(document));
        if (reading.ok) {
          accepted++;
          const model = translateScenario(reading.scenario);
          expect(model.viaduct.supports).toHaveLength(model.viaduct.spans.length + 1);
          expect(model.speedsKmh.every((speed, index, all) => index === 0 || speed > all[index - 1]!)).toBe(
            true,
          );
          expect(model.viaduct.dampingRatio).toBeGreaterThanOrEqual(0);
          return;
        }
        refused++;
        expect(reading.faults.length).toBeGreaterThan(0);
        const seen = new Set<string>();
        for (const one of reading.faults) {
          expect(faultCodes).toHaveProperty([one.code]);
          expect(one.pointer).toMatch(/^(?:\/(?:[^~/]|~[01])*)*$/);
          expect(one.message).toContain(one.found);
          expect(one.message).toContain(one.accepted);
          expect(one.message).not.toMatch(/undefined|\[object/);
          expect(seen.has(one.message)).toBe(false);
          seen.add(one.message);
        }
      }),
      { numRuns: 1500 },
    );
    expect(accepted).toBeGreaterThan(20);
    expect(refused).toBeGreaterThan(500);
  });

  it('cut off or garbled as text is refused, never thrown', () => {
    const text = JSON.stringify(fullScenario());
    fc.assert(
      fc.property(fc.nat(text.length - 1), fc.string({ maxLength: 3 }), (at, garbage) => {
        const cut = readScenario(text.slice(0, at));
        expect(cut.ok).toBe(false);
        const garbled = readScenario(`${text.slice(0, at)}${garbage}${text.slice(at + 1)}`);
        expect(garbled.ok || garbled.faults.length > 0).toBe(true);
      }),
    );
  });

  it('as arbitrary bytes or arbitrary JSON is refused, never thrown', () => {
    fc.assert(
      fc.property(fc.oneof(fc.uint8Array({ maxLength: 200 }), fc.json(), fc.string()), (input) => {
        expect(readScenario(input).ok).toBe(false);
      }),
      { numRuns: 500 },
    );
  });
});
