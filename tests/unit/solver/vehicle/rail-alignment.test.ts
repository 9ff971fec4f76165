import { describe, expect, it } from 'vitest';
import { buildDynamicModel } from '../../../../solver/dynamic-model.js';
import { railAlignment } from '../../../../solver/vehicle/rail-alignment.js';
import { slabTrack, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

const supportChanges = { 1: { joint: true } };
const stepped = (x: number, side: 'left' | 'right') =>
  x < 20 - 1e-6 || (x < 20 + 1e-6 && side === 'left') ? 0 : 0.004 * Math.min(1, (40 - x) / 10);

describe('the rail over a step between two deck ends', () => {
  const model = buildDynamicModel(viaductOf(uniformSpans([20, 20]), { track: slabTrack(), supportChanges }));
  const { levelAt } = railAlignment(model, stepped);

  it('passes through the middle of the step and reaches both sides of it', () => {
    expect(levelAt(20)).toBeCloseTo(0.002, 4);
    expect(levelAt(10)).toBeCloseTo(0, 4);
    expect(levelAt(28)).toBeCloseTo(0.004, 3);
  });

  it('is rounded off: no slope is left of a jump', () => {
    const slopes = Array.from(
      { length: 80 },
      (_, k) => (levelAt(18.05 + k * 0.05) - levelAt(18 + k * 0.05)) / 0.05,
    );
    expect(Math.max(...slopes)).toBeLessThan(0.004);
    expect(Math.max(...slopes)).toBeGreaterThan(0.0005);
  });

  it('stays where it is on the ground', () => {
    expect(levelAt(-15)).toBeCloseTo(0, 6);
    expect(levelAt(55)).toBeCloseTo(0, 6);
  });
});

describe('a deck without track', () => {
  it('has its steps taken over a metre', () => {
    const model = buildDynamicModel(viaductOf(uniformSpans([20, 20]), { supportChanges }));
    const { levelAt } = railAlignment(model, stepped);
    expect(levelAt(19.4)).toBeCloseTo(0, 9);
    expect(levelAt(20)).toBeCloseTo(0.002, 3);
    expect(levelAt(20.6)).toBeCloseTo(0.004, 9);
  });
});
