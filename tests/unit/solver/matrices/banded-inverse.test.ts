import { describe, expect, it } from 'vitest';
import { BandedFactorisation } from '../../../../solver/matrices/banded-factorisation.js';
import { inverseWithinBand } from '../../../../solver/matrices/banded-inverse.js';
import { randomBanded } from '../random-systems.js';

describe('the inverse within the band', () => {
  it.each([0, 3])('is what solving for unit vectors gives, with %i full rows at the end', (border) => {
    const size = 23;
    const matrix = randomBanded(size, 4, 24, 7, border);
    const factorisation = new BandedFactorisation(matrix);
    const inverse = inverseWithinBand(factorisation);
    for (let j = 0; j < size; j++) {
      const column = new Float64Array(size);
      column[j] = 1;
      factorisation.solve(column);
      for (let i = 0; i < size; i++) {
        if (Math.abs(i - j) > 4 && Math.max(i, j) < size - border) continue;
        expect(Math.abs(inverse.get(i, j) - column[i]!)).toBeLessThan(1e-14);
      }
    }
  });
});
