import { describe, expect, it } from 'vitest';
import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { railAlignment } from '../../../../solver/vehicle/rail-alignment.js';
import { slabTrack, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

const supportChanges = { 1: { joint: true } };
const step = 0.004;
/** Up by the step at 20 m, and back to the ground over the last two metres, far from it. */
const stepped = (x: number, side: 'left' | 'right') =>
  x < 20 - 1e-6 || (x < 20 + 1e-6 && side === 'left') ? 0 : step * Math.min(1, (60 - x) / 2);

describe('the rail over a step between two deck ends', () => {
  /** m: so close that seats come near a continuum. */
  const spacing = 0.13;
  const { rail, slab } = slabTrack();
  const fastenings = 80e6 / 0.65;
  const bedding = 6e7;
  const track = slabTrack({ fastening: { spacing, stiffness: fastenings * spacing, damping: 0 } });
  const model = buildDynamicModel(viaductOf(uniformSpans([20, 40]), { track, supportChanges }));
  const { levelAt } = railAlignment(model, stepped);
  const decay = (bedding / (4 * slab!.flexuralRigidity)) ** 0.25;
  // Bedding lumped by half bays of a: its share at a wave number k is off by (k a)^2 / 12, twice over, and k^2 is 2 decay^2 in the mean.
  const lumping = (decay * (spacing / 2)) ** 2 / 3;
  // Straight between samples 0.05 m apart; the curvature is at most twice decay^2 of the step.
  const straight = (decay * 0.05) ** 2 / 4;

  it('is the rounded step of two beams on two layers, on both sides of it', () => {
    const farther = [0, 0.5, 1, 2, 3, 4, 6, 8, 10];
    for (const x of [...farther.map((distance) => -distance), ...farther]) {
      const expected = 0.5 + roundedOver((k) => Math.sin(k * x) / k);
      expect(Math.abs(levelAt(20 + x) / step - expected), `${x} m from the step`).toBeLessThan(
        lumping + straight,
      );
    }
  });

  it('is rounded off: no slope is left of a jump', () => {
    const slopes = Array.from(
      { length: 80 },
      (_, k) => (levelAt(18.05 + k * 0.05) - levelAt(18 + k * 0.05)) / 0.05,
    );
    const steepest = step * roundedOver(() => 1);
    // A mean over what lies within 0.05 m of the steepest place, where the slope falls as 1 - (decay x)^2.
    const mean = (decay * 0.05) ** 2;
    expect(Math.abs(Math.max(...slopes) / steepest - 1)).toBeLessThan(lumping + mean);
  });

  it('stays where it is on the ground', () => {
    const left = Math.exp(-15 * decay);
    for (const x of [-15, 75]) expect(Math.abs(levelAt(x)) / step).toBeLessThan(left);
  });

  /** 1 / pi times the integral over wave numbers of a wave times the rail's share of the same wave of the deck; midpoint rule. */
  function roundedOver(wave: (k: number) => number): number {
    const width = 2e-3;
    let sum = 0;
    for (let k = width / 2; k < 20; k += width) {
      const railOnSeats = rail.flexuralRigidity * k ** 4 + fastenings;
      const slabOnBoth = slab!.flexuralRigidity * k ** 4 + bedding + fastenings;
      sum += ((fastenings * bedding) / (railOnSeats * slabOnBoth - fastenings ** 2)) * wave(k) * width;
    }
    return sum / Math.PI;
  }
});

describe('a deck without track', () => {
  it('has its steps taken over a metre', () => {
    const model = buildDynamicModel(viaductOf(uniformSpans([20, 40]), { supportChanges }));
    const { levelAt } = railAlignment(model, stepped);
    // The mean over the middles of twenty parts of a metre.
    const halfPart = 1 / 40;
    for (const x of [-0.6, -0.5, -0.3, -0.1, 0.1, 0.3, 0.5, 0.6]) {
      const expected = Math.min(1, Math.max(0, x + 0.5));
      expect(Math.abs(levelAt(20 + x) / step - expected), `${x} m from the step`).toBeLessThan(halfPart);
    }
    expect(levelAt(20) / (step / 2)).toBeCloseTo(1, 9);
    expect(levelAt(19.4)).toBe(0);
    expect(levelAt(20.6) / step).toBeCloseTo(1, 12);
  });
});
