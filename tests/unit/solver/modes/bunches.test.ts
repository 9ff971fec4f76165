import { describe, expect, it } from 'vitest';
import { SeededRandom } from '../../../../solver/arithmetic/random.js';
import { BandedMatrix } from '../../../../solver/matrices/banded-matrix.js';
import { solveModes } from '../../../../solver/modes/eigen.js';

describe('modes of many cells that hardly know of each other', () => {
  const size = 200;
  const random = new SeededRandom(7).numbers(size);
  const stiffness = new BandedMatrix(size, 1);
  const mass = new BandedMatrix(size, 1);
  for (let i = 0; i < size; i++) {
    stiffness.add(i, i, 100 * (1 + 1e-4 * random[i]!));
    if (i > 0) stiffness.add(i, i - 1, 1e-9 * stiffness.get(i, i));
    mass.add(i, i, 1);
  }
  const { angularFrequencies, shapes } = solveModes(stiffness, mass, Math.sqrt(101));

  // A shift above the bunch sees it far away on one side, where each step of the iteration brings in three times of what was in common.
  it('are all there and orthonormal, though the bunch is far from a shift', () => {
    expect(shapes).toHaveLength(size);
    const worst = shapes.map((shape, i) =>
      Math.max(
        ...shapes.slice(0, i + 1).map((other, j) => {
          const product = other.reduce((sum, value, k) => sum + value * shape[k]!, 0);
          return Math.abs(product - (i === j ? 1 : 0));
        }),
      ),
    );
    expect(Math.max(...worst)).toBeLessThan(1e-8);
  });

  it('lie where the cells alone would have them', () => {
    // The couplings move no eigenvalue by more than their largest row sum (S. A. Gershgorin).
    const alone = Float64Array.from({ length: size }, (_, i) => stiffness.get(i, i)).sort();
    angularFrequencies.forEach((frequency, i) => {
      expect(Math.abs(frequency ** 2 - alone[i]!)).toBeLessThan(2.1e-7);
    });
  });
});
