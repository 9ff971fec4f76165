import { describe, expect, it } from 'vitest';
import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { wholeLine } from '../../../../solver/lines/line-samples.js';
import { buildMesh } from '../../../../solver/mesh/mesh.js';
import { stationIndices } from '../../../../solver/rows/response-rows.js';
import { rowAt, rowsOf } from '../../../verification/models/rows.js';
import {
  dampedSlabTrack,
  directTrack,
  uniformSpans,
  viaductOf,
} from '../../../verification/models/viaducts.js';

const spans = [13, 21];
const tracks = [
  { name: 'slab track', track: dampedSlabTrack() },
  { name: 'rails fastened to the deck', track: directTrack() },
  { name: 'no track', track: null },
];

describe.each(tracks)('rows of a deck with $name', ({ track }) => {
  const model = buildDynamicModel(viaductOf(uniformSpans(spans), { track }));
  const count = model.modes.shapes.length;
  const inMode = (row: number, mode: number) => model.modalValues[row * count + mode]!;

  it('have the shear beside an abutment equal to its reaction, in every mode and under every load', () => {
    const shear = rowAt(model, 'shear', 0, 'right');
    const reaction = rowAt(model, 'support-reaction', 0);
    for (let mode = 0; mode < count; mode++)
      expect(inMode(shear, mode) / inMode(reaction, mode)).toBeCloseTo(1, 6);
    const [left, right] = [
      wholeLine(model.influenceLines[shear]!, model.line.count),
      wholeLine(model.influenceLines[reaction]!, model.line.count),
    ];
    for (let k = 0; k < left.length; k++) expect(left[k]).toBeCloseTo(right[k]!, 6);
  });

  it('have the shear jump by the reaction over a pier', () => {
    const [before, after] = [rowAt(model, 'shear', 13, 'left'), rowAt(model, 'shear', 13, 'right')];
    const reaction = rowAt(model, 'support-reaction', 13);
    for (let mode = 0; mode < count; mode++) {
      const scale = Math.abs(inMode(after, mode)) + Math.abs(inMode(before, mode));
      const left = inMode(after, mode) - inMode(before, mode) - inMode(reaction, mode);
      expect(Math.abs(left) / scale).toBeLessThan(1e-6);
    }
  });
});

describe.each(tracks)('stations of a deck with $name', ({ track }) => {
  it.each([1, 2, 3, 4])(
    'stand at midspan of every span, or on either side of it; elements divided by %d',
    (refinement) => {
      const mesh = buildMesh(viaductOf(uniformSpans(spans), { track }), { highestFrequency: 30, refinement });
      const { x, supports } = mesh.grid;
      const stations = Array.from(stationIndices(mesh), (index) => x[index]!);
      for (let span = 0; span < spans.length; span++) {
        const middle = (x[supports[span]!]! + x[supports[span + 1]!]!) / 2;
        const nearest = (among: ArrayLike<number>) =>
          Math.min(...Array.from(among, (at) => Math.abs(at - middle)));
        expect(nearest(stations)).toBe(nearest(x));
      }
    },
  );
});

describe('rows of fastenings', () => {
  it('stand at seats that mirror one another on a symmetric deck', () => {
    const model = buildDynamicModel(viaductOf(uniformSpans([21, 21]), { track: dampedSlabTrack() }));
    const at = rowsOf(model, 'fastening-force').map((row) => model.rows[row]!.x);
    const mirrored = at.map((x) => 42 - x).reverse();
    expect(at.length).toBeGreaterThan(20);
    at.forEach((x, i) => {
      expect(x).toBeCloseTo(mirrored[i]!, 6);
    });
  });
});
