import fc from 'fast-check';
import { EVD, Matrix } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { BandedFactorisation, SingularMatrixError } from '../../../solver/banded-factorisation.js';
import { BandedMatrix } from '../../../solver/banded-matrix.js';
import { countBelow } from '../../../solver/eigen.js';
import { denseOf, randomBanded, randomVector, relativeError } from './random-systems.js';

describe('factorisation of a banded matrix', () => {
  it('solves A x = b, definite or not', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 40 }),
        fc.integer({ min: 1, max: 6 }),
        fc.constantFrom(8, -8),
        fc.integer({ min: 1, max: 1e6 }),
        fc.integer({ min: 0, max: 2 }),
        (size, halfBandwidth, diagonal, seed, border) => {
          const matrix = randomBanded(size, halfBandwidth, 4 * diagonal, seed, border);
          const x = randomVector(size, seed + 1);
          const b = new Float64Array(size);
          matrix.multiply(x, b);
          new BandedFactorisation(matrix).solve(b);
          expect(relativeError(b, x)).toBeLessThan(1e-9);
        },
      ),
    );
  });

  it('counts the eigenvalues below a shift as a dense eigensolution does (Sylvester)', () => {
    fc.assert(
      fc.property(fc.integer({ min: 3, max: 20 }), fc.integer({ min: 1, max: 1e6 }), (size, seed) => {
        const border = seed % 3;
        const stiffness = randomBanded(size, 2, 4, seed, border);
        const identity = new BandedMatrix(size, 2, border);
        for (let i = 0; i < size; i++) identity.add(i, i, 1);
        const values = new EVD(new Matrix(denseOf(stiffness)), { assumeSymmetric: true }).realEigenvalues;
        for (const shift of [1, 3.5, 4.01, 6]) {
          const below = values.filter((value) => value < shift).length;
          expect(countBelow(stiffness, identity, shift)).toBe(below);
        }
      }),
    );
  });

  it('names the freedom at which a matrix is singular, and the motion that it does not resist', () => {
    // Three masses in a row on two springs, held nowhere.
    const matrix = new BandedMatrix(3, 1);
    for (const [i, j] of [
      [0, 1],
      [1, 2],
    ] as const) {
      matrix.add(i, i, 2);
      matrix.add(j, j, 2);
      matrix.add(i, j, -2);
    }
    let error: unknown;
    try {
      new BandedFactorisation(matrix);
    } catch (caught) {
      error = caught;
    }
    expect(error).toBeInstanceOf(SingularMatrixError);
    const { degreeOfFreedom, nullVector } = error as SingularMatrixError;
    expect(degreeOfFreedom).toBe(2);
    const force = new Float64Array(3);
    matrix.multiply(nullVector, force);
    expect(Math.max(...force.map(Math.abs))).toBeLessThan(1e-14);
    expect(Array.from(nullVector)).toEqual([1, 1, 1]);
  });
});
