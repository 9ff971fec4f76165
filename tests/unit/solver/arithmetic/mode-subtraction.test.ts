import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { subtractModes, subtractModesByNumber } from '../../../../solver/arithmetic/mode-subtraction.js';
import { seededRandom } from '../../../../solver/arithmetic/random.js';

const sizes = fc.record({
  lines: fc.integer({ min: 0, max: 11 }),
  modes: fc.integer({ min: 0, max: 11 }),
  samples: fc.integer({ min: 1, max: 600 }),
  seed: fc.integer({ min: 1, max: 1e6 }),
});

function arrays(count: number, length: number, random: () => number): Float64Array[] {
  return Array.from({ length: count }, () => Float64Array.from({ length }, random));
}

describe('modes taken out of lines', () => {
  it('leave a line less the sum of every mode times its factor', () => {
    const modes = [Float64Array.of(1, 0, 2), Float64Array.of(0, 1, 1)];
    const lines = [Float64Array.of(10, 20, 30), Float64Array.of(1, 1, 1)];
    subtractModes(lines, modes, Float64Array.of(2, 3, -1, 0.5));
    expect(lines).toEqual([Float64Array.of(8, 17, 23), Float64Array.of(2, 0.5, 2.5)]);
  });

  it('leave the same, to the bit, whether by the vector kernel or in plain TypeScript', () => {
    fc.assert(
      fc.property(sizes, ({ lines, modes, samples, seed }) => {
        const random = seededRandom(seed);
        const fast = arrays(lines, samples, random);
        const plain = fast.map((line) => line.slice());
        const modeLines = arrays(modes, samples, random);
        const factors = Float64Array.from({ length: lines * modes }, random);
        subtractModes(fast, modeLines, factors);
        subtractModesByNumber(plain, modeLines, factors);
        expect(fast).toEqual(plain);
      }),
    );
  });
});
