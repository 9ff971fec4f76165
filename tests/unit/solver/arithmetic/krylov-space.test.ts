import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type KrylovSpace,
  krylovSpace,
  ScalarKrylovSpace,
} from '../../../../solver/arithmetic/krylov-space.js';
import { seededRandom } from '../../../../solver/arithmetic/random.js';
import { BandedFactorisation } from '../../../../solver/matrices/banded-factorisation.js';
import { BandedMatrix } from '../../../../solver/matrices/banded-matrix.js';
import { NonzeroRows } from '../../../../solver/matrices/nonzero-rows.js';
import { randomVector, relativeError } from '../random-systems.js';

interface System {
  readonly stiffness: BandedMatrix;
  readonly mass: BandedMatrix;
}

/** Indefinite, as K - shift M is, and a mass of a narrower band. */
function systemOf(size: number, halfBandwidth: number, border: number, seed: number): System {
  const random = seededRandom(seed);
  const stiffness = new BandedMatrix(size, halfBandwidth, border);
  const mass = new BandedMatrix(size, halfBandwidth, border);
  for (let i = 0; i < size; i++) {
    stiffness.add(i, i, (i % 3 === 0 ? -1 : 1) * (4 + 2 * halfBandwidth + 2 * border));
    mass.add(i, i, 4);
    for (let j = i >= size - border ? 0 : Math.max(0, i - halfBandwidth); j < i; j++) {
      stiffness.add(i, j, random());
      if (i - j < 3) mass.add(i, j, random());
    }
  }
  return { stiffness, mass };
}

const plainSpace = ({ stiffness, mass }: System): KrylovSpace =>
  new ScalarKrylovSpace(new BandedFactorisation(stiffness), new NonzeroRows(mass));
const fastSpace = ({ stiffness, mass }: System): KrylovSpace =>
  krylovSpace(new BandedFactorisation(stiffness), new NonzeroRows(mass));

const seeds = fc.integer({ min: 1, max: 1e6 });
const systems = fc
  .tuple(fc.integer({ min: 1, max: 120 }), fc.integer({ min: 0, max: 9 }), fc.constantFrom(0, 0, 3), seeds)
  .map(([size, halfBandwidth, border, seed]) => ({
    size: size + border,
    seed,
    system: systemOf(size + border, Math.min(halfBandwidth, size - 1), border, seed),
  }));
const counts = fc.integer({ min: 0, max: 11 });

/** The candidate alone: itself, times 1, as the only vector kept. */
function candidateOf(space: KrylovSpace, kept: number): Float64Array {
  space.keep();
  return space.combine(kept, [Float64Array.of(1)])[0]!;
}

describe('a Krylov space', () => {
  it('is held for the vector kernel, unless its vectors are too long for one memory', () => {
    expect(fastSpace(systemOf(1000, 4, 0, 1))).not.toBeInstanceOf(ScalarKrylovSpace);
    expect(fastSpace(systemOf(800_000, 0, 0, 1))).toBeInstanceOf(ScalarKrylovSpace);
  });

  it('solves, multiplies and measures to the same bits as in plain TypeScript', () => {
    fc.assert(
      fc.property(systems, ({ size, seed, system }) => {
        const work = (space: KrylovSpace) => {
          const numbers = [space.start(randomVector(size, seed))];
          space.keep();
          space.solve();
          numbers.push(space.multiply());
          space.scale(0.3);
          numbers.push(space.multiply());
          return [...numbers, ...candidateOf(space, 1)];
        };
        expect(work(fastSpace(system))).toEqual(work(plainSpace(system)));
      }),
    );
  });

  it('solves what the factorisation solves', () => {
    fc.assert(
      fc.property(systems, ({ size, seed, system }) => {
        const inertia = new Float64Array(size);
        system.mass.multiply(randomVector(size, seed), inertia);
        new BandedFactorisation(system.stiffness).solve(inertia);
        const space = fastSpace(system);
        space.start(randomVector(size, seed));
        space.solve();
        expect(relativeError(candidateOf(space, 0), inertia)).toBeLessThan(1e-10);
      }),
    );
  });

  it('is taken out of a candidate to the same bits as in plain TypeScript', () => {
    fc.assert(
      fc.property(systems, counts, ({ size, seed, system }, count) => {
        const project = (space: KrylovSpace) => {
          for (let k = 0; k < count; k++) space.push(randomVector(size, seed + k + 1));
          space.start(randomVector(size, seed));
          const along = space.project();
          return [along, ...candidateOf(space, count)];
        };
        expect(project(fastSpace(system))).toEqual(project(plainSpace(system)));
      }),
    );
  });

  it('is combined to the same bits, from any vector on', () => {
    fc.assert(
      fc.property(systems, fc.integer({ min: 1, max: 11 }), ({ size, seed, system }, count) => {
        const first = seed % count;
        const weights = Array.from({ length: seed % 4 }, (_, sum) =>
          randomVector(count - first, seed + 100 + sum),
        );
        const combine = (space: KrylovSpace) => {
          for (let k = 0; k < count; k++) space.push(randomVector(size, seed + k));
          return space.combine(first, weights);
        };
        expect(combine(fastSpace(system))).toEqual(combine(plainSpace(system)));
      }),
    );
  });

  it('of mass-orthonormal vectors leaves nothing of a candidate along them', () => {
    const space = fastSpace(systemOf(10, 0, 0, 1));
    for (let k = 0; k < 6; k++) space.push(Float64Array.from({ length: 10 }, (_, i) => (i === k ? 0.5 : 0)));
    space.start(Float64Array.from({ length: 10 }, (_, i) => i + 1));
    space.project();
    expect([...candidateOf(space, 6)]).toEqual([0, 0, 0, 0, 0, 0, 7, 8, 9, 10]);
  });

  it('tells how long its candidate is and what that has in common with the vector kept last', () => {
    for (let count = 0; count < 10; count++) {
      const space = fastSpace(systemOf(10, 0, 0, 1));
      // The mass is 4 throughout.
      for (let k = 0; k < count; k++)
        space.push(Float64Array.from({ length: 10 }, (_, i) => (i === k ? 0.5 : 0)));
      expect(space.start(Float64Array.from({ length: 10 }, (_, i) => i + 1))).toBe(4 * 385);
      expect(space.project()).toBe(count === 0 ? 0 : 2 * count);
      expect(space.multiply()).toBe(4 * (385 - (count * (count + 1) * (2 * count + 1)) / 6));
    }
  });

  it('takes nothing over from a longer one before it', () => {
    const work = (space: KrylovSpace) => {
      space.start(randomVector(31, 3));
      space.solve();
      return candidateOf(space, 0);
    };
    const long = fastSpace(systemOf(301, 9, 0, 4));
    for (let k = 0; k < 5; k++) long.push(randomVector(301, k + 1));
    long.start(randomVector(301, 8));
    const short = systemOf(31, 2, 0, 5);
    expect(work(fastSpace(short))).toEqual(work(plainSpace(short)));
  });
});
