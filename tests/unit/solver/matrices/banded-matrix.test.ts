import fc from 'fast-check';
import { expect, it } from 'vitest';
import { BandedMatrix } from '../../../../solver/matrices/banded-matrix.js';
import { NonzeroRows } from '../../../../solver/matrices/nonzero-rows.js';
import { denseOf, randomBanded, randomVector, relativeError } from '../random-systems.js';

const shapes = fc.record({
  size: fc.integer({ min: 2, max: 25 }),
  halfBandwidth: fc.integer({ min: 1, max: 7 }),
  border: fc.integer({ min: 0, max: 2 }),
  seed: fc.integer({ min: 1, max: 1e6 }),
});

it('multiplies as the dense matrix does', () => {
  fc.assert(
    fc.property(shapes, ({ size, halfBandwidth, border, seed }) => {
      const matrix = randomBanded(size, halfBandwidth, 3, seed, border);
      const x = randomVector(size, seed + 1);
      const product = new Float64Array(size);
      matrix.multiply(x, product);
      const expected = denseOf(matrix).map((row) => row.reduce((sum, value, j) => sum + value * x[j]!, 0));
      expect(relativeError(product, expected)).toBeLessThan(1e-13);
    }),
  );
});

it('takes the place of a sum of two others, one times a factor, entry by entry', () => {
  const a = randomBanded(9, 3, 2, 5, 2);
  const b = randomBanded(9, 3, 1, 6, 2);
  const place = randomBanded(9, 3, 3, 7, 2);
  place.setSum(a, b, -2.5);
  const sum = denseOf(place).flat();
  const other = denseOf(b).flat();
  const expected = denseOf(a)
    .flat()
    .map((value, k) => value - 2.5 * other[k]!);
  expect(relativeError(sum, expected)).toBeLessThan(1e-15);
});

it('adds an entry once on the diagonal, to both sides off it, and nowhere for a held freedom', () => {
  const matrix = new BandedMatrix(4, 2);
  matrix.add(1, 1, 5);
  matrix.add(3, 1, 7);
  matrix.add(-1, 2, 9);
  expect([matrix.get(1, 1), matrix.get(1, 3), matrix.get(3, 1)]).toEqual([5, 7, 7]);
  expect(
    denseOf(matrix)
      .flat()
      .filter((value) => value !== 0),
  ).toHaveLength(3);
});

it('gives the same product, to the last bit, by its nonzero entries alone', () => {
  fc.assert(
    fc.property(
      shapes,
      fc.double({ min: 0, max: 1, noNaN: true }),
      ({ size, halfBandwidth, border, seed }, gone) => {
        const full = randomBanded(size, halfBandwidth, 3, seed, border);
        const chances = randomVector(size * size, seed + 2);
        const matrix = new BandedMatrix(size, halfBandwidth, border);
        for (let i = 0; i < size; i++)
          for (let j = 0; j <= i; j++)
            if (Math.abs(chances[i * size + j]!) >= gone && full.get(i, j) !== 0)
              matrix.add(i, j, full.get(i, j));
        const x = randomVector(size, seed + 1);
        const [banded, sparse] = [new Float64Array(size), new Float64Array(size)];
        matrix.multiply(x, banded);
        new NonzeroRows(matrix).multiply(x, sparse);
        // But for the sign of a zero.
        expect(sparse.map((value) => value + 0)).toEqual(banded.map((value) => value + 0));
      },
    ),
  );
});
