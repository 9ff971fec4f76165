import { describe, expect, it } from 'vitest';
import { buildDynamicModel } from '../../../solver/dynamic-model.js';
import { wholeLine } from '../../../solver/line-samples.js';
import { rowAt } from '../../verification/models/rows.js';
import { uniformSpans, viaductOf } from '../../verification/models/viaducts.js';

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

  it('hold the jump of a force at a deck end for one sample beyond it, at either end alike', () => {
    const left = wholeLine(model.influenceLines[rowAt(model, 'support-reaction', 0)]!, model.line.count);
    const right = wholeLine(
      model.influenceLines[rowAt(model, 'support-reaction', length)]!,
      model.line.count,
    );
    expect([left[0], left[1]].map((value) => value!.toFixed(9))).toEqual(['1.000000000', '1.000000000']);
    expect(
      Array.from(right)
        .reverse()
        .every((value, k) => Math.abs(value - left[k]!) < 1e-9),
    ).toBe(true);
  });

  it('sum both reactions of a joint to 1 wherever the load stands on the deck', () => {
    const joined = buildDynamicModel(
      viaductOf(uniformSpans([12, 15]), { supportChanges: { 1: { joint: true, stiffness: 1e9 } } }),
    );
    const rows = [0, 12, 27].map((x) =>
      wholeLine(joined.influenceLines[rowAt(joined, 'support-reaction', x)]!, joined.line.count),
    );
    for (let k = 1; k + 1 < joined.line.count; k++)
      expect(rows.reduce((sum, row) => sum + row[k]!, 0)).toBeCloseTo(1, 8);
  });
});
