import { describe, expect, it } from 'vitest';
import { buildDynamicModel, onTrack } from '../../../solver/dynamic-model/dynamic-model.js';
import { buildTrainTables } from '../../../solver/passage/train-tables.js';
import { type Objective, ObjectiveIndex } from '../../../solver/peaks/objective.js';
import type { Quantity } from '../../../solver/rows/response-rows.js';
import { trackPassages } from '../../../worker/assess/track-passages.js';
import { passageHistory, rowHistory } from '../../verification/models/passage-history.js';
import { rowsOf } from '../../verification/models/rows.js';
import { twistingViaduct } from '../../verification/models/torsion.js';
import { dampedSlabTrack, trainOf } from '../../verification/models/viaducts.js';

/** Not its own mirror image. */
const train = trainOf([0, 2.5, 14, 16.5, 21], [170e3, 170e3, 150e3, 150e3, 110e3]);
const tracks = [{ eccentricity: -2.5 }, { eccentricity: 1.6 }];
const bare = buildDynamicModel(twistingViaduct([20, 24], { dampingRatio: 0.02, tracks }));
const tracked = buildDynamicModel(
  twistingViaduct([20, 24], { dampingRatio: 0.02, tracks, track: dampedSlabTrack() }),
);
const quantities: readonly Quantity[] = [
  'deck-acceleration',
  'deck-deflection',
  'deck-twist',
  'bending',
  'bearing-reaction',
];

/** |row| of each quantity, and the smallest reaction beside an offset as of dead load. */
function objectivesOf(model: typeof bare): Objective[] {
  const both = quantities.map((quantity): Objective => {
    const rows = rowsOf(model, quantity);
    return {
      rows: Int32Array.from([...rows, ...rows]),
      weights: Float64Array.from({ length: 2 * rows.length }, (_, i) => (i < rows.length ? 1 : -1)),
      offsets: new Float64Array(2 * rows.length),
    };
  });
  const reactions = rowsOf(model, 'bearing-reaction');
  const pull: Objective = {
    rows: Int32Array.from(reactions),
    weights: new Float64Array(reactions.length).fill(-1),
    offsets: Float64Array.from(reactions, (_, i) => -1e6 - 2e5 * (i % 3)),
  };
  return [...both, pull];
}

describe.each([
  ['bare', bare],
  ['with slab track', tracked],
] as const)('trains that meet on a deck %s', (_, model) => {
  const index = () => new ObjectiveIndex(objectivesOf(model), model.rows.length);
  const meet = trackPassages(model, train, 'all-tracks', index());
  const alone = trackPassages(model, train, 'one-track', index());
  const objectives = index();

  it('reach what the peaks of every row on every track add up to, found without looking at every row', () => {
    for (const speedKmh of [0, 80, 200, 140, 150, 145]) {
      const few = objectives.reached(meet.peaksAt(speedKmh));
      const all = objectives.reached(meet.allPeaksAt(speedKmh));
      few.forEach((value, i) => {
        expect(Math.abs(value - all[i]!)).toBeLessThanOrEqual(1e-9 * Math.abs(all[i]!));
      });
    }
  });

  it('do no less than one train on the worst track', () => {
    const together = objectives.reached(meet.peaksAt(170));
    objectives.reached(alone.peaksAt(170)).forEach((value, i) => {
      expect(together[i]).toBeGreaterThanOrEqual(value - 1e-9 * Math.abs(value));
    });
  });
});

it('no distance between two trains is worse than the sum of peaks, and one comes up to it', () => {
  const speed = 50;
  const timeStep = 5e-4;
  const model = bare;
  const row = rowsOf(model, 'deck-deflection').find((one) => Math.abs(model.rows[one]!.x - 32) < 0.7)!;
  const histories = [0, 1].map((track) => {
    const loaded = onTrack(model, track);
    const tables = buildTrainTables(loaded, train, track === 0 ? 'forward' : 'reverse');
    return rowHistory(loaded, tables, passageHistory(loaded, tables, speed, timeStep, 2), row);
  });
  const [near, far] = histories.map((history) => history.filter((_, k) => k % 4 === 0));
  let worst = 0;
  for (let shift = -near!.length; shift <= near!.length; shift++)
    for (let k = 0; k < near!.length; k++) worst = Math.max(worst, near![k]! + (far![k + shift] ?? 0));
  const found = trackPassages(
    model,
    train,
    'all-tracks',
    new ObjectiveIndex(objectivesOf(model), model.rows.length),
  ).allPeaksAt(3.6 * speed).largest[row]!;
  expect(worst / found).toBeLessThan(1.002);
  expect(worst / found).toBeGreaterThan(0.98);
});
