import { describe, expect, it } from 'vitest';
import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { type InfluenceJump, reversedInfluence } from '../../../../solver/jumps/influence-jumps.js';
import { wholeLine } from '../../../../solver/lines/line-samples.js';
import { rowAt, rowsOf } from '../../../verification/models/rows.js';
import { uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

const length = 20;

describe('influence lines of a simple beam', () => {
  const model = buildDynamicModel(viaductOf(uniformSpans([length])), { lineStep: 0.13 });
  const { line } = model;
  const ordinates = (row: number) =>
    Array.from(wholeLine(model.influenceLines[row]!, model.line.count), (value, k) => ({
      x: line.from + k * line.step,
      value,
    })).filter(({ x }) => x > 1e-9 && x < length - 1e-9);

  it('of the bending moment at midspan are the triangle L / 4', () => {
    for (const { x, value } of ordinates(rowAt(model, 'bending', length / 2)))
      expect(value).toBeCloseTo(Math.min(x, length - x) / 2, 8);
  });

  it('of the end reaction are the straight line x / L', () => {
    for (const { x, value } of ordinates(rowAt(model, 'support-reaction', length)))
      expect(value).toBeCloseTo(x / length, 9);
  });

  it('jump by the whole load as it comes onto the deck over the bearing, at either end alike', () => {
    const [left, right] = [0, length].map((x) => model.influenceLines[rowAt(model, 'support-reaction', x)]!);
    expect(left!.jumps).toHaveLength(1);
    const [jump] = left!.jumps;
    expect(line.from + jump!.at * line.step).toBeCloseTo(0, 9);
    expect(jump!.before).toBe(0);
    expect(jump!.beyond).toBeCloseTo(1, 9);
    const mirrored = reversedInfluence(right!, line.count);
    expect(mirrored.jumps[0]!.at).toBeCloseTo(jump!.at, 6);
    expect(mirrored.jumps[0]!.beyond).toBeCloseTo(1, 9);
    const [a, b] = [left!, mirrored].map((one) => wholeLine(one, line.count));
    expect(a!.every((value, k) => Math.abs(value - b![k]!) < 1e-9)).toBe(true);
  });

  it('of the shear on either side of a pier jump by the load there, and nowhere else but at a deck end', () => {
    const continuous = buildDynamicModel(viaductOf(uniformSpans([length, length])));
    const { line } = continuous;
    for (const side of ['left', 'right'] as const) {
      const { jumps } = continuous.influenceLines[rowAt(continuous, 'shear', length, side)]!;
      expect(jumps).toHaveLength(1);
      const [{ at, before, beyond }] = jumps as [InfluenceJump];
      expect(line.from + at * line.step).toBeCloseTo(length, 9);
      expect([before, beyond].map((value) => Math.round(1e6 * value) + 0)).toEqual(
        side === 'left' ? [-1e6, 0] : [0, 1e6],
      );
    }
  });

  it('of moments and deflections do not jump', () => {
    for (const quantity of ['bending', 'deck-deflection', 'end-rotation'] as const)
      for (const row of rowsOf(model, quantity)) expect(model.influenceLines[row]!.jumps).toEqual([]);
  });

  it('sum both reactions of a joint to 1 wherever the load stands on the deck', () => {
    const joined = buildDynamicModel(
      viaductOf(uniformSpans([12, 15]), { supportChanges: { 1: { joint: true, stiffness: 1e9 } } }),
    );
    const rows = [0, 12, 27].map((x) =>
      wholeLine(joined.influenceLines[rowAt(joined, 'support-reaction', x)]!, joined.line.count),
    );
    // On the very ends of the deck stands the mean of both sides.
    for (let k = 2; k + 2 < joined.line.count; k++)
      expect(rows.reduce((sum, row) => sum + row[k]!, 0)).toBeCloseTo(1, 8);
  });
});
