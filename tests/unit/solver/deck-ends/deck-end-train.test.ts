import { expect, it } from 'vitest';
import { buildDeckEnds } from '../../../../solver/deck-ends/deck-end.js';
import { DeckEndTrain } from '../../../../solver/deck-ends/deck-end-train.js';
import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import type { Track } from '../../../../solver/viaduct/model.js';
import { trainOf, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

it('a deck end whose clips do not hold the rail is said to be so, the others are followed all the same', () => {
  const track: Track = {
    rail: { massPerLength: 120, flexuralRigidity: 1.276e7 },
    fastening: {
      ...{ spacing: 0.65, stiffness: 8e7, damping: 6e4 },
      clamping: { force: 200, compressionStiffness: 8e7 },
    },
    ...{ slab: null, bedding: null, losses: [] },
  };
  const model = buildDynamicModel(viaductOf(uniformSpans([20]), { track }));
  const ends = buildDeckEnds(model, track, null);
  // Softer than its own fastenings: without them it would fall.
  const falling = { ...ends[0]!, compliance: ends[0]!.compliance.map((value) => 1e3 * value) };
  const train = new DeckEndTrain(model, [falling, ends[1]!], trainOf([0, 2.5], [2e5, 2e5]), 'forward');
  const [one, other] = train.respond([1, 1]);
  expect(one!.unheld).toBe(true);
  expect(other!.unheld).toBe(false);
  expect(other!.pull.value).toBeGreaterThan(200);
});
