import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { BlockArithmetic } from '../../../../solver/arithmetic/block-arithmetic.js';
import { blockSteps, blockWidth, forceSamples } from '../../../../solver/arithmetic/block-size.js';
import { hasVectors } from '../../../../solver/arithmetic/kernel.js';
import { seededRandom } from '../../../../solver/arithmetic/random.js';
import { coefficientsPerMode, recurrenceCoefficients } from '../../../../solver/arithmetic/recurrence.js';
import type { ScreenedRows } from '../../../../solver/arithmetic/row-screen.js';
import { ScalarArithmetic } from '../../../../solver/arithmetic/scalar-arithmetic.js';
import { arithmeticFor } from '../../../../solver/arithmetic/vector-arithmetic.js';

const scalar = new ScalarArithmetic();
const vector = arithmeticFor(40);
const noForces = [new Float64Array(8)];
/** Of every number; zeros count as equal, whatever their sign. */
const bits = (array: Float64Array) => [...new BigUint64Array(Float64Array.from(array, (x) => x + 0).buffer)];

/** What an operation leaves in `target` in each of the two arithmetics. */
function both(
  tables: readonly Float64Array[],
  operation: (arithmetic: BlockArithmetic, filled: (length: number) => Float64Array) => Float64Array,
  seed: number,
  rows: ScreenedRows = { sets: [], statics: [], setBounds: [] },
): [Float64Array, Float64Array] {
  const run = (arithmetic: BlockArithmetic) => {
    const random = seededRandom(seed);
    arithmetic.begin(tables, rows);
    return operation(arithmetic, (length) => {
      const array = arithmetic.allocate(length);
      for (let k = 0; k < length; k++) array[k] = random();
      return array;
    });
  };
  return [run(scalar), run(vector)];
}

const seeds = fc.integer({ min: 1, max: 1e6 });

describe('arithmetic two numbers at a time', () => {
  it('is at hand on this runtime, and is what a passage takes', () => {
    expect(hasVectors).toBe(true);
    expect(vector).not.toBeInstanceOf(ScalarArithmetic);
  });

  it('leaves more modes than it has room for to the plain one', () => {
    expect(arithmeticFor(100_000)).toBeInstanceOf(ScalarArithmetic);
  });

  it('contracts to the same bits, from any column to any other', () => {
    const columns = fc.tuple(
      fc.integer({ min: 0, max: blockWidth }),
      fc.integer({ min: 0, max: blockWidth }),
    );
    fc.assert(
      fc.property(seeds, fc.integer({ min: 0, max: 23 }), columns, (seed, count, [a, b]) => {
        const random = seededRandom(seed);
        const picks = Int32Array.from({ length: count }, () => Math.floor(40 * Math.abs(random())));
        const values = Float64Array.from({ length: count + 3 }, random);
        const [plain, paired] = both(
          noForces,
          (arithmetic, filled) => {
            const source = filled(40 * blockWidth);
            const target = arithmetic.allocate(blockWidth);
            const [from, to] = [Math.min(a, b), Math.max(a, b)];
            arithmetic.contract(values, 3, picks, count, source, blockWidth, target, from, to);
            return target;
          },
          seed,
        );
        expect(bits(paired)).toEqual(bits(plain));
        expect(plain.some((value) => value !== 0)).toBe(count > 0 && a !== b);
      }),
    );
  });

  it('contracts one row after another, from the same sources and from others', () => {
    const picks = Int32Array.from([3, 1, 2]);
    const values = Float64Array.from([1, 2, 3, 4, 5, 6]);
    const [plain, paired] = both(
      noForces,
      (arithmetic, filled) => {
        const [one, two] = [filled(4 * blockWidth), filled(4 * blockWidth)];
        const target = arithmetic.allocate(4 * blockWidth);
        const row = (index: number) => target.subarray(index * blockWidth, (index + 1) * blockWidth);
        arithmetic.contract(values, 0, picks, 3, one, blockWidth, row(0), 0, blockWidth);
        arithmetic.contract(values, 3, picks, 3, one, blockWidth, row(1), 0, blockWidth);
        arithmetic.contract(values, 3, picks, 3, two, blockWidth, row(2), 0, blockWidth);
        arithmetic.contract(values, 3, picks, 2, one, 17, row(3), 0, 17);
        return target;
      },
      7,
    );
    expect(bits(paired)).toEqual(bits(plain));
  });

  it('takes coordinates for a group of modes to the same bits, and leaves all others alone', () => {
    fc.assert(
      fc.property(
        seeds,
        fc.integer({ min: 1, max: 13 }),
        fc.integer({ min: 0, max: 3 }),
        (seed, count, first) => {
          const [plain, paired] = both(
            noForces,
            (arithmetic, filled) => {
              const target = filled(17 * blockWidth);
              arithmetic.rotate(filled(count * count), first, count, filled(17 * blockWidth), target);
              return target;
            },
            seed,
          );
          expect(bits(paired)).toEqual(bits(plain));
          expect(plain.includes(0)).toBe(false);
        },
      ),
    );
  });

  it.each([0, 1])('advances two modes to the same bits, with %i corrections', (adds) => {
    fc.assert(
      fc.property(seeds, fc.constantFrom(0, 1), (seed, departed) => {
        const [plain, paired] = both(
          noForces,
          (arithmetic, filled) => {
            const coefficients = arithmetic.allocate(4 * coefficientsPerMode);
            for (let mode = 0; mode < 4; mode++)
              recurrenceCoefficients(20 + 9 * mode, 0.01, 4e-3, coefficients, mode * coefficientsPerMode);
            const state = filled(8);
            const departure = filled(4 * blockWidth);
            const acceleration = filled(4 * blockWidth);
            const twoZeta = filled(4);
            const forces = filled(2 * forceSamples);
            const added = filled(4 * blockSteps);
            arithmetic.advance(
              {
                coefficients,
                state,
                twoZeta,
                forces,
                added,
                adds: adds === 1,
                departed,
                departure,
                acceleration,
              },
              2,
            );
            return Float64Array.from([...state, ...departure, ...acceleration]);
          },
          seed,
        );
        expect(bits(paired)).toEqual(bits(plain));
      }),
      { numRuns: 30 },
    );
  });

  it('samples the forces of every pair to the same bits, nothing for a mode that is not there', () => {
    const random = seededRandom(5);
    const tables = Array.from({ length: 5 }, () => Float64Array.from({ length: 900 }, random));
    for (const first of [0, 2, 4]) {
      const [plain, paired] = both(
        tables,
        (arithmetic, filled) => {
          const indices = arithmetic.allocateIntegers(forceSamples);
          for (let b = 0; b < forceSamples; b++) indices[b] = Math.floor(13.3 * b);
          const forces = filled(2 * forceSamples);
          arithmetic.sampleForces(first, indices, filled(4 * forceSamples), forces);
          return forces;
        },
        first + 1,
      );
      expect(bits(paired)).toEqual(bits(plain));
      if (first === 4) expect(plain.filter((_, k) => k % 2 === 1).every((value) => value === 0)).toBe(true);
    }
  });

  it('samples tables that come in turn: more than it keeps, one that it makes room for, one that is longer than all it may keep', () => {
    const random = seededRandom(6);
    const trains = [900_000, 900_000, 900_000, 5_000_000, 70_000_000].map((length) => {
      const table = new Float64Array(length);
      for (let k = 0; k < 200; k++) table[k] = random();
      return [table];
    });
    for (const tables of [...trains, ...trains]) {
      const [plain, paired] = both(
        tables,
        (arithmetic, filled) => {
          const forces = arithmetic.allocate(2 * forceSamples);
          const indices = arithmetic.allocateIntegers(forceSamples).fill(9);
          arithmetic.sampleForces(0, indices, filled(4 * forceSamples), forces);
          return forces;
        },
        8,
      );
      expect(plain[0]).not.toBe(0);
      expect(bits(paired)).toEqual(bits(plain));
    }
  });

  it('finds the same sizes and second differences', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const [plain, paired] = both(
          noForces,
          (arithmetic, filled) => {
            const sizes = arithmetic.allocate(3);
            const bends = arithmetic.allocate(3);
            arithmetic.bound(filled(3 * blockWidth), 3, sizes, bends);
            return Float64Array.from([...sizes, ...bends]);
          },
          seed,
        );
        expect(bits(paired)).toEqual(bits(plain));
      }),
    );
  });

  it('stops at the same crests', () => {
    const place = fc.integer({ min: 3, max: blockWidth - 4 });
    const threshold = fc.double({ min: 0, max: 0.7, noNaN: true });
    fc.assert(
      fc.property(seeds, place, place, threshold, (seed, a, b, size) => {
        const [from, to] = [Math.min(a, b), Math.max(a, b)];
        const [plain, paired] = both(
          noForces,
          (arithmetic, filled) => {
            const history = filled(blockWidth);
            const found: number[] = [];
            for (let column = from - 1; column <= to; ) {
              column = arithmetic.nextCrest(history, column + 1, to, size, -size, 0.01);
              found.push(Math.min(column, to + 1));
            }
            return Float64Array.from(found);
          },
          seed,
        );
        expect([...paired]).toEqual([...plain]);
      }),
      { numRuns: 300 },
    );
  });
});
