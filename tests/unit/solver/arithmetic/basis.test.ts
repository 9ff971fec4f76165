import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Basis, emptyBasis, ScalarBasis } from '../../../../solver/arithmetic/basis.js';
import { seededRandom } from '../../../../solver/random.js';

const seeds = fc.integer({ min: 1, max: 1e6 });
const lengths = fc.integer({ min: 1, max: 300 });
const counts = fc.integer({ min: 0, max: 11 });

function filled(length: number, seed: number): Float64Array {
  const random = seededRandom(seed);
  return Float64Array.from({ length }, random);
}

function withVectors<B extends Basis>(basis: B, length: number, count: number, seed: number): B {
  for (let k = 0; k < count; k++) basis.push(filled(length, seed + k));
  return basis;
}

describe('a basis', () => {
  it('is held for the vector kernel, unless its vectors are too long for one memory', () => {
    expect(emptyBasis(1000)).not.toBeInstanceOf(ScalarBasis);
    expect(emptyBasis(10_000_000)).toBeInstanceOf(ScalarBasis);
  });

  it('is taken out of a candidate to the same bits as in plain TypeScript', () => {
    fc.assert(
      fc.property(seeds, lengths, counts, (seed, length, count) => {
        const project = (basis: Basis) => {
          const candidate = filled(length, seed + 100);
          basis.project(candidate, filled(length, seed + 101));
          return candidate;
        };
        const plain = project(withVectors(new ScalarBasis(), length, count, seed));
        expect(project(withVectors(emptyBasis(length), length, count, seed))).toEqual(plain);
      }),
    );
  });

  it('is combined to the same bits, from any vector on', () => {
    fc.assert(
      fc.property(seeds, lengths, fc.integer({ min: 1, max: 11 }), (seed, length, count) => {
        const first = seed % count;
        const weights = filled(count - first, seed + 100);
        const plain = withVectors(new ScalarBasis(), length, count, seed).combine(first, weights);
        const paired = withVectors(emptyBasis(length), length, count, seed).combine(first, weights);
        expect(paired).toEqual(plain);
      }),
    );
  });

  it('of orthonormal vectors leaves nothing of a candidate along them', () => {
    const basis = emptyBasis(10);
    for (let k = 0; k < 6; k++) basis.push(Float64Array.from({ length: 10 }, (_, i) => (i === k ? 1 : 0)));
    const candidate = Float64Array.from({ length: 10 }, (_, i) => i + 1);
    basis.project(candidate, Float64Array.from(candidate));
    expect([...candidate]).toEqual([0, 0, 0, 0, 0, 0, 7, 8, 9, 10]);
  });

  it('shorter than the one before it takes nothing over from it', () => {
    withVectors(emptyBasis(301), 301, 5, 1).project(filled(301, 8), filled(301, 9));
    const plain = filled(30, 10);
    const paired = filled(30, 10);
    withVectors(new ScalarBasis(), 30, 3, 2).project(plain, filled(30, 11));
    withVectors(emptyBasis(30), 30, 3, 2).project(paired, filled(30, 11));
    expect(paired).toEqual(plain);
  });
});
