import { describe, expect, it } from 'vitest';
import {
  beamMass,
  beamStiffness,
  shapeFunctions,
  uniformLoad,
} from '../../../../solver/mesh/beam-element.js';
import { massOf, stiffnessOf } from '../../../verification/independent/dense-frame.js';
import { relativeError } from '../random-systems.js';

const slender = { length: 2.4, flexuralRigidity: 1.1e11, massPerLength: 15_000, shearRigidity: null };
const stocky = { ...slender, shearRigidity: 4e10 };
const times = (matrix: Float64Array, u: readonly number[]) =>
  [0, 1, 2, 3].map((i) => u.reduce((sum, value, j) => sum + matrix[4 * i + j]! * value, 0));

describe('beam element without shear deformation', () => {
  it('has the stiffness and the consistent mass of the textbooks', () => {
    const plain = { from: 0, to: 1, ...slender };
    expect(relativeError(beamStiffness(slender), stiffnessOf(plain).to1DArray())).toBeLessThan(1e-14);
    expect(relativeError(beamMass(slender), massOf(plain).to1DArray())).toBeLessThan(1e-13);
  });
});

describe.each([
  { name: 'slender', beam: slender },
  { name: 'shear-flexible', beam: stocky },
])('$name beam element', ({ beam }) => {
  const { length } = beam;

  it.each([
    { motion: 'moves down', u: [1, 0, 1, 0] },
    { motion: 'rotates', u: [0, 1, length, 1] },
  ])('resists nothing as it $motion as a rigid body', ({ u }) => {
    const stiffness = beamStiffness(beam);
    const largest = stiffness.reduce((most, value) => Math.max(most, value), 0);
    for (const force of times(stiffness, u)) expect(Math.abs(force) / largest).toBeLessThan(1e-14);
  });

  it('is symmetric in stiffness and mass', () => {
    for (const matrix of [beamStiffness(beam), beamMass(beam)]) {
      const transposed = Array.from(matrix, (_, k) => matrix[4 * (k % 4) + (k >> 2)]!);
      expect(relativeError(matrix, transposed)).toBeLessThan(1e-15);
    }
  });

  it('weighs what it weighs', () => {
    const [a, , b] = times(beamMass(beam), [1, 0, 1, 0]);
    expect((a! + b!) / (beam.massPerLength * length)).toBeCloseTo(1, 12);
  });

  it('follows rigid motions inside', () => {
    const shape = new Float64Array(4);
    for (const share of [0, 0.2, 0.5, 0.9, 1]) {
      shapeFunctions(beam, share * length, shape);
      expect(shape[0]! + shape[2]!).toBeCloseTo(1, 13);
      expect(shape[1]! + shape[3]! + length * shape[2]!).toBeCloseTo(share * length, 12);
    }
  });

  it('bends as a cantilever: P L^3 / (3 EI), and P L / GA in shear', () => {
    const k = beamStiffness(beam);
    // Free end: [k22 k23; k32 k33] [w; r] = [P; 0].
    const [a, b, d] = [k[10]!, k[11]!, k[15]!];
    const deflection = 1 / (a - (b * b) / d);
    const shear = beam.shearRigidity === null ? 0 : length / beam.shearRigidity;
    expect(deflection / (length ** 3 / (3 * beam.flexuralRigidity) + shear)).toBeCloseTo(1, 12);
  });
});

it('carries a uniform load into its ends as q l / 2 and q l^2 / 12', () => {
  const loads = uniformLoad(slender, 1000);
  expect(relativeError(loads, [1200, 480, 1200, -480])).toBeLessThan(1e-14);
});
