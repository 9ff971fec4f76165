import { describe, expect, it } from 'vitest';
import { buildDynamicModel, onTrack } from '../../../../solver/dynamic-model/dynamic-model.js';
import { mirroredPeaks, mirrorOf } from '../../../../solver/dynamic-model/mirror.js';
import { runPassage } from '../../../../solver/passage/passage.js';
import { buildTrainTables } from '../../../../solver/passage/train-tables.js';
import type { Viaduct } from '../../../../solver/viaduct/model.js';
import { rowAt } from '../../../verification/models/rows.js';
import { slabTrack, trainOf, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

const track = slabTrack({
  fastening: { spacing: 0.6, stiffness: 80e6, damping: 60e3 },
  bedding: { stiffnessPerLength: 6e7, dampingPerLength: 5e4 },
});
const torsion = { rigidity: 6e10, rotaryInertia: 1.2e5 };
const spread = { bearingSpread: 4 };
const even: readonly [string, Viaduct][] = [
  ['one span', viaductOf(uniformSpans([30]), { dampingRatio: 0.01 })],
  ['three continuous spans', viaductOf(uniformSpans([24, 30, 24]), { dampingRatio: 0.01 })],
  [
    'a deck on springs',
    viaductOf(uniformSpans([24, 24]), {
      dampingRatio: 0.01,
      supportChanges: { 0: { stiffness: 2e9 }, 1: { stiffness: 1e9 }, 2: { stiffness: 2e9 } },
    }),
  ],
  [
    'decks parted by joints under slab track',
    viaductOf(uniformSpans([24, 24]), { dampingRatio: 0.01, supportChanges: { 1: { joint: true } }, track }),
  ],
  [
    'a deck that turns under two tracks beside its axis',
    viaductOf(uniformSpans([24], { torsion }), {
      dampingRatio: 0.01,
      supportChanges: { 0: spread, 1: spread },
      tracks: [{ eccentricity: 2.1 }, { eccentricity: -2.4 }],
    }),
  ],
  [
    'spans that swing on their own, whose modes of one frequency could be any mixture',
    viaductOf(uniformSpans([24, 24], { torsion }), {
      dampingRatio: 0.01,
      supportChanges: { 0: spread, 1: spread, 2: spread },
      tracks: [{ eccentricity: 2.1 }],
    }),
  ],
  [
    'spans that no train on the axis turns',
    viaductOf(uniformSpans([24, 24], { torsion }), {
      dampingRatio: 0.01,
      supportChanges: { 0: spread, 1: spread, 2: spread },
    }),
  ],
];
const uneven: readonly [string, Viaduct][] = [
  ['spans of two lengths', viaductOf(uniformSpans([24, 25]), { dampingRatio: 0.01 })],
  [
    'a support softer than its image',
    viaductOf(uniformSpans([24, 24]), {
      dampingRatio: 0.01,
      supportChanges: { 0: { stiffness: 2e9 }, 1: { stiffness: 2e9 }, 2: { stiffness: 1.98e9 } },
    }),
  ],
  [
    'fastenings lost at one end',
    viaductOf(uniformSpans([24, 24]), {
      dampingRatio: 0.01,
      track: { ...track, losses: [{ layer: 'fastening', from: 2, to: 3, fraction: 0.5 }] },
    }),
  ],
  [
    'one bearing lost',
    viaductOf(uniformSpans([24, 24], { torsion }), {
      dampingRatio: 0.01,
      supportChanges: { 0: { ...spread, lostBearing: 'left' }, 1: spread, 2: spread },
      tracks: [{ eccentricity: 2.1 }],
    }),
  ],
];
/** Not its own mirror image. */
const train = trainOf([0, 2.5, 17, 19.5, 24, 26.5, 33], [170e3, 170e3, 170e3, 170e3, 140e3, 170e3, 110e3]);

describe('the mirror image of a viaduct', () => {
  it.each(even)('%s: forwards in the mirror is reverse, row by row', (_, viaduct) => {
    const model = buildDynamicModel(viaduct);
    model.tracks.forEach((__, index) => {
      const loaded = onTrack(model, index);
      const forward = runPassage(loaded, buildTrainTables(loaded, train, 'forward'), 50);
      const reverse = runPassage(loaded, buildTrainTables(loaded, train, 'reverse'), 50);
      expect(loaded.mirror).not.toBeNull();
      const image = mirroredPeaks(loaded.mirror!, forward);
      const scale = new Map<string, number>();
      model.rows.forEach(({ quantity }, row) => {
        const size = Math.max(reverse.largest[row]!, -reverse.smallest[row]!);
        scale.set(quantity, Math.max(scale.get(quantity) ?? 0, size));
      });
      model.rows.forEach(({ quantity, x }, row) => {
        for (const side of ['largest', 'smallest'] as const) {
          const apart = Math.abs(image[side][row]! - reverse[side][row]!);
          // What no train moves is noise.
          const allowed = 5e-4 * scale.get(quantity)! + 1e-12;
          expect(apart, `${quantity} at ${x} m, ${side}`).toBeLessThan(allowed);
        }
      });
    });
  });

  it.each(even)('%s: the image of the image is the row itself', (_, viaduct) => {
    const { images, signs } = buildDynamicModel(viaduct).mirror!;
    images.forEach((image, row) => {
      expect(images[image]).toBe(row);
      expect(signs[image]).toBe(signs[row]);
    });
    expect(new Set(images).size).toBe(images.length);
  });

  it.each(uneven)('%s: there is none', (_, viaduct) => {
    expect(buildDynamicModel(viaduct).mirror).toBeNull();
  });

  it('is not found where modes and their image agree but one influence line does not', () => {
    const model = buildDynamicModel(even[1]![1]);
    const row = model.rows.findIndex(({ quantity, x }) => quantity === 'bending' && x > 5 && x < 20);
    const line = model.influenceLines[row]!;
    const bent = { ...line, values: line.values.map((value) => 1.0001 * value) };
    const influenceLines = model.influenceLines.with(row, bent);
    expect(mirrorOf({ ...model, influenceLines })).toBeNull();
    expect(mirrorOf(model)).not.toBeNull();
  });

  it('is not found where one side of one jump differs', () => {
    const model = buildDynamicModel(even[0]![1]);
    const row = rowAt(model, 'support-reaction', 0);
    const line = model.influenceLines[row]!;
    expect(line.jumps.length).toBeGreaterThan(0);
    const [first, ...rest] = line.jumps;
    for (const changed of [{ beyond: 1.0001 * first!.beyond }, { before: 1e-4 }]) {
      const jumps = [{ ...first!, ...changed }, ...rest];
      const influenceLines = model.influenceLines.with(row, { ...line, jumps });
      expect(mirrorOf({ ...model, influenceLines, passageLines: influenceLines })).toBeNull();
    }
  });
});
