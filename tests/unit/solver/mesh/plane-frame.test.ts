import { describe, expect, it } from 'vitest';
import { SingularMatrixError } from '../../../../solver/matrices/banded-factorisation.js';
import { condenseFrame, type FrameBar, type PlaneFrame } from '../../../../solver/mesh/plane-frame.js';
import { relativeError } from '../random-systems.js';

const bar = (from: number, to: number, changes: Partial<FrameBar> = {}): FrameBar => ({
  from,
  to,
  axialRigidity: 2e10,
  flexuralRigidity: 5e10,
  massPerLength: 6000,
  ...changes,
});

describe('a frame condensed on the points that carry the deck', () => {
  it('is a spring EA / h where a straight column carries the point', () => {
    const { flexibility } = condenseFrame({
      nodes: [
        { x: 0, z: 20, held: 'clamped' },
        { x: 0, z: 8, held: 'free' },
      ],
      bars: [bar(0, 1)],
      points: [1],
    });
    expect(flexibility[0]).toBeCloseTo(12 / 2e10, 18);
  });

  it('is a pair of struts that share a load by the cosines of their slope', () => {
    const { flexibility } = condenseFrame({
      nodes: [
        { x: -3, z: 4, held: 'pinned' },
        { x: 3, z: 4, held: 'pinned' },
        { x: 0, z: 0, held: 'free' },
      ],
      bars: [bar(0, 2, { flexuralRigidity: null }), bar(1, 2, { flexuralRigidity: null })],
      points: [2],
    });
    // Two bars of 5 m at cosine 0.8 to the load: l / (2 EA cos^2).
    expect(flexibility[0]! / (5 / (2 * 2e10 * 0.64))).toBeCloseTo(1, 12);
  });

  it('does not care how its bars are turned or cut', () => {
    const whole: PlaneFrame = {
      nodes: [
        { x: 0, z: 12, held: 'clamped' },
        { x: 5, z: 2, held: 'free' },
        { x: 25, z: 0, held: 'free' },
        { x: 30, z: 12, held: 'clamped' },
      ],
      bars: [bar(0, 1), bar(1, 2), bar(3, 2)],
      points: [1, 2],
    };
    const cut: PlaneFrame = {
      nodes: [...whole.nodes, { x: 15, z: 1, held: 'free' }],
      bars: [bar(1, 0), bar(4, 1), bar(2, 4), bar(2, 3)],
      points: [1, 2],
    };
    expect(relativeError(condenseFrame(cut).flexibility, condenseFrame(whole).flexibility)).toBeLessThan(
      1e-10,
    );
  });

  it('carries the mass that moves with the points: all of it where they move together', () => {
    const { mass } = condenseFrame({
      nodes: [
        { x: 0, z: 10, held: 'free' },
        { x: 12, z: 10, held: 'free' },
        { x: 0, z: 20, held: 'pinned' },
        { x: 12, z: 20, held: 'pinned' },
      ],
      bars: [
        bar(0, 1),
        bar(2, 0, { massPerLength: 1e-6, flexuralRigidity: 1e6 }),
        bar(3, 1, { massPerLength: 1e-6, flexuralRigidity: 1e6 }),
      ],
      points: [0, 1],
    });
    expect((mass[0]! + mass[1]! + mass[2]! + mass[3]!) / (12 * 6000)).toBeCloseTo(1, 3);
  });

  it('that can move without resistance is refused', () => {
    const swaying: PlaneFrame = {
      nodes: [
        { x: 0, z: 10, held: 'pinned' },
        { x: 0, z: 0, held: 'free' },
      ],
      bars: [bar(0, 1, { flexuralRigidity: null })],
      points: [1],
    };
    expect(() => condenseFrame(swaying)).toThrow(SingularMatrixError);
  });
});
