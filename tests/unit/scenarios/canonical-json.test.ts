import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonicalJson, sha256OfJson } from '../../../scenarios/canonical-json.js';
import { readScenario } from '../../../scenarios/read-scenario.js';
import { minimalScenario } from './minimal-scenario.js';

/** The same value with the keys of every object in reverse order. */
function reversed(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(reversed);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .reverse()
      .map(([key, inner]) => [key, reversed(inner)]),
  );
}

describe('canonical JSON', () => {
  it('sorts keys at every depth and leaves lists alone', () => {
    expect(canonicalJson({ b: [2, 1], a: { d: null, c: 'x' } })).toBe('{"a":{"c":"x","d":null},"b":[2,1]}');
  });

  it('means the same as the value, and does not depend on the order of keys', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        const plain: unknown = JSON.parse(JSON.stringify(value));
        expect(JSON.parse(canonicalJson(plain))).toEqual(plain);
        expect(canonicalJson(reversed(plain))).toBe(canonicalJson(plain));
      }),
    );
  });

  it('is refused for what JSON cannot hold', () => {
    expect(() => canonicalJson(undefined)).toThrow(TypeError);
  });

  it('gives the known digest of a known text', () => {
    // SHA-256 of the two characters {}, computed with sha256sum.
    expect(sha256OfJson({})).toBe('44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a');
  });
});

describe('the hash of a scenario', () => {
  const hash = (text: string) => {
    const reading = readScenario(text);
    return reading.ok ? reading.sha256 : null;
  };

  it('does not change with layout and order of keys', () => {
    const scenario = minimalScenario();
    const first = hash(JSON.stringify(scenario));
    expect(first).toMatch(/^[0-9a-f]{64}$/);
    expect(hash(JSON.stringify(reversed(scenario), null, 4))).toBe(first);
  });

  it('changes with any content', () => {
    const other = minimalScenario();
    other.line.speed_kmh = 201;
    expect(hash(JSON.stringify(other))).not.toBe(hash(JSON.stringify(minimalScenario())));
  });
});
