import { describe, expect, it } from 'vitest';
import { BandedFactorisation } from '../../../solver/banded-factorisation.js';
import { inverseWithinBand } from '../../../solver/banded-inverse.js';
import { BandedMatrix } from '../../../solver/banded-matrix.js';
import { seededRandom } from '../../../solver/random.js';

describe('the inverse within the band', () => {
  it('is what solving for unit vectors gives', () => {
    const random = seededRandom(7);
    const size = 23;
    const matrix = new BandedMatrix(size, 4);
    for (let i = 0; i < size; i++) {
      matrix.add(i, i, 12 + random());
      for (let j = Math.max(0, i - 4); j < i; j++) matrix.add(i, j, random());
    }
    const factorisation = new BandedFactorisation(matrix);
    const inverse = inverseWithinBand(factorisation);
    for (let j = 0; j < size; j++) {
      const column = new Float64Array(size);
      column[j] = 1;
      factorisation.solve(column);
      for (let i = Math.max(0, j - 4); i <= Math.min(size - 1, j + 4); i++)
        expect(Math.abs(inverse.get(i, j) - column[i]!)).toBeLessThan(1e-14);
    }
  });
});
