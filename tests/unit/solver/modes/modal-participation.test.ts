import { describe, expect, it } from 'vitest';
import { assembleSystem } from '../../../../solver/mesh/assembly.js';
import { buildMesh } from '../../../../solver/mesh/mesh.js';
import { solveModes } from '../../../../solver/modes/eigen.js';
import { modalParticipation } from '../../../../solver/modes/modal-participation.js';
import type { Support, Viaduct } from '../../../../solver/viaduct/model.js';

const length = 30;
const massPerLength = 15_000;

function support(id: string, stiffness: number): Support {
  return { id, stiffness, settlement: 0, joint: false, bearing: true, upliftResistance: 0 };
}

function participationOf(stiffness: number, highest: number) {
  const viaduct: Viaduct = {
    spans: [{ segments: [{ length, massPerLength, flexuralRigidity: 1.1e11, shearRigidity: null }] }],
    supports: [support('A1', stiffness), support('A2', stiffness)],
    track: null,
    dampingRatio: 0.01,
  };
  const mesh = buildMesh(viaduct, { highestFrequency: highest, refinement: 2 });
  const { stiffness: k, mass } = assembleSystem(mesh);
  return modalParticipation(mesh, solveModes(k, mass, 2 * Math.PI * highest));
}

describe('participation of the modes of a simple beam', () => {
  // Shape sin(n pi x / L): effective mass 8 / (n pi)^2 of the whole for odd n, none for even n; modal mass m L / 2.
  // Clough and Penzien, Dynamics of Structures, chapter 26 (mem). The discretisation errs by less than 1e-3 of the value.
  const { effectiveMassShares, modalMasses } = participationOf(Number.POSITIVE_INFINITY, 150);

  it.each([1, 3, 5])('mode %i moves 8 / (n pi)^2 of the mass', (n) => {
    expect(effectiveMassShares[n - 1]! / (8 / (n * Math.PI) ** 2)).toBeCloseTo(1, 3);
  });

  it.each([2, 4])('mode %i, antisymmetric, moves none on the whole', (n) => {
    expect(effectiveMassShares[n - 1]!).toBeLessThan(1e-9);
  });

  it('has half the mass of the beam as its modal mass', () => {
    for (const mass of modalMasses.subarray(0, 4))
      expect(mass / ((massPerLength * length) / 2)).toBeCloseTo(1, 2);
  });
});

describe('participation on elastic supports', () => {
  it('adds up to the whole mass, for nothing goes straight into the ground', () => {
    const { effectiveMassShares } = participationOf(1e8, 200);
    expect(effectiveMassShares.reduce((sum, share) => sum + share, 0)).toBeGreaterThan(0.999);
    expect(effectiveMassShares.reduce((sum, share) => sum + share, 0)).toBeLessThan(1 + 1e-9);
  });
});
