import { describe, expect, it } from 'vitest';
import { BandedFactorisation } from '../../../../solver/matrices/banded-factorisation.js';
import { BandedMatrix } from '../../../../solver/matrices/banded-matrix.js';
import { NonzeroRows } from '../../../../solver/matrices/nonzero-rows.js';
import { assembleSystem } from '../../../../solver/mesh/assembly.js';
import { buildMesh } from '../../../../solver/mesh/mesh.js';
import { countBelow, modesAbove, solveModes } from '../../../../solver/modes/eigen.js';
import { EigenvalueConvergenceError, lanczosInInterval } from '../../../../solver/modes/lanczos.js';
import { assembleDense, denseModes } from '../../../verification/independent/dense-frame.js';
import { concreteDeck, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';
import { relativeError } from '../random-systems.js';
import { structures } from '../structures.js';

const highest = 2 * Math.PI * 60;

describe.each(structures)('modes of $name', ({ viaduct }) => {
  const { stiffness, mass } = assembleSystem(buildMesh(viaduct, { highestFrequency: 60 }));
  const modes = solveModes(stiffness, mass, highest);

  it('satisfy K v = w^2 M v', () => {
    modes.shapes.forEach((shape, mode) => {
      const elastic = new Float64Array(stiffness.size);
      const inertia = new Float64Array(stiffness.size);
      stiffness.multiply(shape, elastic);
      mass.multiply(shape, inertia);
      const square = modes.angularFrequencies[mode]! ** 2;
      // K is a million times stiffer in its highest modes than in these; that much of 1e-16 comes back in K v.
      const largest = stiffness.data.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
      const size = shape.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
      const residual = elastic.reduce(
        (most, value, i) => Math.max(most, Math.abs(value - square * inertia[i]!)),
        0,
      );
      expect(residual / (largest * size)).toBeLessThan(1e-11);
    });
  });

  it('are mass-orthonormal, repeated frequencies included', () => {
    let worst = 0;
    modes.shapes.forEach((shape, i) => {
      const inertia = new Float64Array(mass.size);
      mass.multiply(shape, inertia);
      modes.shapes.forEach((other, j) => {
        const product = other.reduce((sum, value, k) => sum + value * inertia[k]!, 0);
        worst = Math.max(worst, Math.abs(product - (i === j ? 1 : 0)));
      });
    });
    expect(worst).toBeLessThan(1e-8);
  });

  it('ascend, and none is missing below the limit', () => {
    const sorted = Float64Array.from(modes.angularFrequencies).sort();
    expect(modes.angularFrequencies).toEqual(sorted);
    expect(modes.shapes.length).toBeGreaterThan(0);
    expect(modes.shapes).toHaveLength(countBelow(stiffness, mass, (highest * (1 + 1e-7)) ** 2));
  });
});

describe.each(structures)('modes above those known of $name', ({ viaduct }) => {
  const { stiffness, mass } = assembleSystem(buildMesh(viaduct, { highestFrequency: 60 }));
  const known = solveModes(stiffness, mass, highest / 2);
  const above = modesAbove(stiffness, mass, known, highest);

  it('are those that a solution to the higher limit adds', () => {
    const all = solveModes(stiffness, mass, highest).angularFrequencies.slice(known.shapes.length);
    expect(above.shapes).toHaveLength(all.length);
    all.forEach((frequency, mode) => {
      expect(above.angularFrequencies[mode]! / frequency).toBeCloseTo(1, 8);
    });
  });

  it('are orthogonal to them and to each other', () => {
    const shapes = [...known.shapes, ...above.shapes];
    let worst = 0;
    above.shapes.forEach((shape, i) => {
      const inertia = new Float64Array(mass.size);
      mass.multiply(shape, inertia);
      shapes.forEach((other, j) => {
        const product = other.reduce((sum, value, k) => sum + value * inertia[k]!, 0);
        worst = Math.max(worst, Math.abs(product - (known.shapes.length + i === j ? 1 : 0)));
      });
    });
    expect(worst).toBeLessThan(1e-8);
  });

  it('are none where all are known', () => {
    expect(modesAbove(stiffness, mass, known, highest / 2).shapes).toHaveLength(0);
  });
});

describe('frequencies', () => {
  it('of equal simple spans occur as often as there are spans', () => {
    const { stiffness, mass } = assembleSystem(buildMesh(structures[1]!.viaduct, { highestFrequency: 30 }));
    const { angularFrequencies } = solveModes(stiffness, mass, 2 * Math.PI * 30);
    const first = angularFrequencies[0]!;
    expect(Array.from(angularFrequencies.subarray(0, 3), (w) => Math.abs(w / first - 1) < 1e-9)).toEqual([
      true,
      true,
      true,
    ]);
    expect(angularFrequencies[3]! / first).toBeGreaterThan(1.5);
  });

  it('agree with a dense eigensolution of an own model', () => {
    const spans = [20, 28];
    const viaduct = viaductOf(uniformSpans(spans), { supportChanges: { 1: { stiffness: 1e9 } } });
    const { stiffness, mass } = assembleSystem(buildMesh(viaduct, { highestFrequency: 1, parts: 20 }));
    const ours = solveModes(stiffness, mass, 2 * Math.PI * 80).angularFrequencies;
    const dense = denseModes(
      assembleDense({
        nodes: 41,
        elements: Array.from({ length: 40 }, (_, k) => ({
          from: k,
          to: k + 1,
          length: k < 20 ? 1 : 1.4,
          ...concreteDeck,
        })),
        springs: [{ upper: 40, lower: null, stiffness: 1e9 }],
        held: [0, 80],
      }),
    );
    expect(ours).toHaveLength(6);
    const theirs = dense.frequencies.slice(0, ours.length).map((f) => 2 * Math.PI * f);
    expect(relativeError(ours, theirs)).toBeLessThan(1e-8);
  });
});

describe('Lanczos iteration', () => {
  const size = 60;
  const stiffness = new BandedMatrix(size, 1);
  const mass = new BandedMatrix(size, 1);
  // Every eigenvalue twice: 1, 1, 2, 2, ..., 30, 30.
  for (let i = 0; i < size; i++) {
    stiffness.add(i, i, 1 + (i >> 1));
    mass.add(i, i, 1);
  }
  const shifted = new BandedMatrix(size, 1);
  shifted.setSum(stiffness, mass, -4.6);
  const factorisation = new BandedFactorisation(shifted);
  const interval = { from: 2.5, to: 7.5, shift: 4.6, wanted: 10 };

  it('finds repeated eigenvalues as often as they occur', () => {
    const { within } = lanczosInInterval(factorisation, new NonzeroRows(mass), interval);
    expect(within.map(({ value }) => Math.round(value * 1e8) / 1e8)).toEqual([3, 3, 4, 4, 5, 5, 6, 6, 7, 7]);
  });

  it('takes nothing for a mode that has not converged when a run has become as long as it may', () => {
    const many = 900;
    const wide = new BandedMatrix(many, 1);
    const unit = new BandedMatrix(many, 1);
    for (let i = 0; i < many; i++) {
      wide.add(i, i, i + 1);
      unit.add(i, i, 1);
    }
    const moved = new BandedMatrix(many, 1);
    moved.setSum(wide, unit, -450.3);
    const { within } = lanczosInInterval(new BandedFactorisation(moved), new NonzeroRows(unit), {
      shift: 450.3,
      from: 275.5,
      to: 625.5,
      wanted: 350,
    });
    expect(within.map(({ value }) => Math.round(value * 1e6) / 1e6)).toEqual(
      Array.from({ length: 350 }, (_, i) => 276 + i),
    );
  });

  it('reports when it holds more modes than exist', () => {
    const twice = { value: 5, vector: new Float64Array(size).fill(1 / Math.sqrt(size)) };
    expect(() =>
      lanczosInInterval(factorisation, new NonzeroRows(mass), { shift: 4.6, from: 4.9, to: 5.1, wanted: 1 }, [
        twice,
        twice,
      ]),
    ).toThrow(EigenvalueConvergenceError);
  });

  it('reports when fewer modes exist than it was asked for', () => {
    expect(() =>
      lanczosInInterval(factorisation, new NonzeroRows(mass), { ...interval, wanted: 11 }),
    ).toThrow(EigenvalueConvergenceError);
  });
});
