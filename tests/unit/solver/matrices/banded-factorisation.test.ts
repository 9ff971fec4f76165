import fc from 'fast-check';
import { EVD, Matrix } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import {
  BandedFactorisation,
  SingularMatrixError,
} from '../../../../solver/matrices/banded-factorisation.js';
import { BandedMatrix } from '../../../../solver/matrices/banded-matrix.js';
import { assembleSystem } from '../../../../solver/mesh/assembly.js';
import { buildMesh } from '../../../../solver/mesh/mesh.js';
import { countBelow } from '../../../../solver/modes/eigen.js';
import { buildResponseRows } from '../../../../solver/rows/build-response-rows.js';
import { slabTrack, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';
import { denseOf, randomBanded, randomVector, relativeError } from '../random-systems.js';

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

  it('solves for a short b only as far as the solution reaches', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 6 }),
        fc.integer({ min: 1, max: 1e6 }),
        fc.integer({ min: 0, max: 399 }),
        fc.integer({ min: 0, max: 8 }),
        fc.integer({ min: 0, max: 1 }),
        (halfBandwidth, seed, first, length, border) => {
          const size = 400;
          const matrix = randomBanded(size, halfBandwidth, 4 * halfBandwidth, seed, border);
          const last = Math.min(size - 1, first + length);
          const b = new Float64Array(size);
          b.set(randomVector(last - first + 1, seed + 1), first);
          const whole = Float64Array.from(b);
          const factorisation = new BandedFactorisation(matrix);
          factorisation.solve(whole);
          const reach = factorisation.solveLocally(b, first, last, 1e-13);
          expect(relativeError(b, whole)).toBeLessThan(1e-12);
          expect(b.every((value, i) => value === 0 || (i >= reach.first && i <= reach.last))).toBe(true);
          if (border === 0) expect(reach.last - reach.first).toBeLessThan(size - 1);
        },
      ),
    );
  });

  it('solves locally on a long viaduct as throughout', () => {
    const spans = Array.from({ length: 36 }, (_, i) => 24 + (i % 3));
    const joints = Object.fromEntries(
      spans.map((_, support) => [support, { stiffness: 2e9, joint: support % 3 === 2 }]),
    );
    const viaduct = viaductOf(uniformSpans(spans), { supportChanges: joints, track: slabTrack() });
    const mesh = buildMesh(viaduct, { highestFrequency: 30 });
    const factorisation = new BandedFactorisation(assembleSystem(mesh).stiffness);
    let rows = 0;
    let reached = 0;
    for (const row of buildResponseRows(mesh, viaduct).filter((_, index) => index % 41 === 0)) {
      const b = new Float64Array(factorisation.size);
      row.freedoms.forEach((freedom, k) => {
        b[freedom]! += row.stiffness[k]!;
      });
      const whole = Float64Array.from(b);
      factorisation.solve(whole);
      const reach = factorisation.solveLocally(
        b,
        Math.min(...row.freedoms),
        Math.max(...row.freedoms),
        1e-11,
      );
      const peak = whole.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
      expect(b.every((value, i) => Math.abs(value - whole[i]!) < 1e-9 * peak)).toBe(true);
      rows++;
      reached += reach.last - reach.first + 1;
    }
    expect(reached / rows).toBeLessThan(0.75 * factorisation.size);
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
