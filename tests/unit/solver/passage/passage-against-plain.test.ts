import { describe, expect, it } from 'vitest';
import { buildDynamicModel, type DynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { quasiStaticPeaks, runPassage } from '../../../../solver/passage/passage.js';
import { buildTrainTables, type Direction } from '../../../../solver/passage/train-tables.js';
import { type Objective, ObjectiveIndex } from '../../../../solver/peaks/objective.js';
import type { Peaks } from '../../../../solver/peaks/peaks.js';
import type { MovingTrain } from '../../../../solver/viaduct/model.js';
import { plainPassage } from '../../../reference/plain-passage.js';
import { slabTrack, trainOf, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

/** Converged: steps of half the size change no peak by more than 0.1 % of its group's. */
const converged = { samplesPerPeriod: 80, longestMove: 0.02, freeVibration: 1 };
/** The rail's moment peaks with a kink below every wheel. */
const convergedAtPeaks = { samplesPerPeriod: 80, longestMove: 0.005, freeVibration: 1 };
/** Where forces jump, a scheme that takes them linear over the step converges in the first order only. */
const convergedWithJumps = { samplesPerPeriod: 2560, longestMove: 0.01, freeVibration: 0.5 };
const required = 0.005;

const bareDeck = viaductOf(uniformSpans([32, 32]), { dampingRatio: 0.01 });
const elasticDeck = viaductOf(uniformSpans([24]), {
  dampingRatio: 0.01,
  supportChanges: { 0: { stiffness: 2e9 }, 1: { stiffness: 1e9 } },
});
const partedDeck = viaductOf(uniformSpans([24, 30]), {
  dampingRatio: 0.01,
  supportChanges: { 1: { joint: true } },
});
const trackedDeck = viaductOf(uniformSpans([24, 24]), {
  dampingRatio: 0.01,
  supportChanges: { 0: { stiffness: 4e9 }, 1: { stiffness: 2e9, joint: true }, 2: { stiffness: 4e9 } },
  track: slabTrack({
    fastening: { spacing: 0.65, stiffness: 80e6, damping: 60e3 },
    bedding: { stiffnessPerLength: 6e7, dampingPerLength: 5e4 },
  }),
});
const hollowTrack = {
  ...trackedDeck,
  track: {
    ...trackedDeck.track!,
    losses: [
      { layer: 'bedding', from: 8, to: 12, fraction: 1 },
      { layer: 'fastening', from: 30, to: 31, fraction: 1 },
    ] as const,
  },
};
const torsion = { rigidity: 6e10, rotaryInertia: 1.2e5 };
const eccentricDeck = viaductOf(uniformSpans([24, 30], { torsion }), {
  dampingRatio: 0.01,
  supportChanges: { 0: { bearingSpread: 4 }, 1: { bearingSpread: 4 }, 2: { bearingSpread: 4 } },
  tracks: [{ eccentricity: 2.1 }],
});
const oneBearingLost = viaductOf(uniformSpans([24], { torsion }), {
  dampingRatio: 0.01,
  supportChanges: {
    0: { bearingSpread: 4, stiffness: 4e9, lostBearing: 'left' },
    1: { bearingSpread: 4 },
  },
  tracks: [{ eccentricity: -1.5 }],
});
const structures = [
  ['a continuous deck on rigid supports', bareDeck, converged, []],
  ['two decks parted by a joint', partedDeck, converged, []],
  ['a deck on springs', elasticDeck, convergedWithJumps, []],
  ['two decks with slab track', trackedDeck, converged, ['slab']],
  ['two decks with slab track that is hollow', hollowTrack, convergedAtPeaks, ['slab', 'rail']],
] as const;
/** Two pairs of bogies at a coach length, and a lighter tail: not its own mirror image. */
const train = trainOf(
  [0, 2.5, 17, 19.5, 24, 26.5, 41, 43.5, 49],
  [170e3, 170e3, 170e3, 170e3, 170e3, 170e3, 170e3, 170e3, 110e3],
);

function rowsByQuantity(model: DynamicModel): Map<string, number[]> {
  const groups = new Map<string, number[]>();
  model.rows.forEach(({ quantity }, row) => {
    groups.set(quantity, [...(groups.get(quantity) ?? []), row]);
  });
  return groups;
}

const worst = (peaks: Peaks, rows: readonly number[]) =>
  rows.reduce((most, row) => Math.max(most, peaks.largest[row]!, -peaks.smallest[row]!), 0);

function objectivesOf(groups: ReadonlyMap<string, readonly number[]>): Objective[] {
  return [...groups.values()].map((rows) => ({
    rows: Int32Array.from([...rows, ...rows]),
    weights: Float64Array.from({ length: 2 * rows.length }, (_, i) => (i < rows.length ? 1 : -1)),
    offsets: new Float64Array(2 * rows.length),
  }));
}

describe.each(structures)('a passage over %s', (_, viaduct, options, momentsOf) => {
  const model = buildDynamicModel(viaduct, { momentsOf });
  const groups = rowsByQuantity(model);

  it.each([
    [20, 'forward'],
    [40, 'reverse'],
    [100, 'forward'],
    [200, 'reverse'],
    [290, 'forward'],
  ] as const)('at %i km/h %s finds the peaks of the converged plain path', (kmh, direction: Direction) => {
    const tables = buildTrainTables(model, train, direction);
    const reference = plainPassage(model, train, direction, kmh / 3.6, options);
    const every = runPassage(model, tables, kmh / 3.6);
    const wanted = runPassage(model, tables, kmh / 3.6, {
      objectives: new ObjectiveIndex(objectivesOf(groups), model.rows.length),
    });
    for (const [quantity, rows] of groups) {
      const most = worst(reference, rows);
      expect(Math.abs(worst(every, rows) / most - 1), `${quantity}, every row`).toBeLessThan(required);
      expect(Math.abs(worst(wanted, rows) / most - 1), `${quantity}, objectives`).toBeLessThan(required);
      for (const row of rows) {
        const error = Math.max(
          Math.abs(every.largest[row]! - reference.largest[row]!),
          Math.abs(every.smallest[row]! - reference.smallest[row]!),
        );
        expect(error / most, `${quantity} at ${model.rows[row]!.x} m`).toBeLessThan(required);
      }
    }
  });
});

describe('forces that jump as an axle passes', () => {
  it.each([
    ['a continuous deck on rigid supports', bareDeck, 100, 'forward'],
    ['a continuous deck on rigid supports', bareDeck, 290, 'reverse'],
    ['two decks parted by a joint', partedDeck, 200, 'forward'],
  ] as const)('on %s are found to 0.1 %% on either side of the jump', (_, viaduct, kmh, direction) => {
    const model = buildDynamicModel(viaduct);
    // Just beside the jump the plain path stands at most one of its steps from it.
    const reference = plainPassage(model, train, direction, kmh / 3.6, {
      ...converged,
      samplesPerPeriod: 320,
      longestMove: 0.005,
    });
    const found = runPassage(model, buildTrainTables(model, train, direction), kmh / 3.6);
    const groups = rowsByQuantity(model);
    for (const quantity of ['shear', 'support-reaction']) {
      const rows = groups.get(quantity)!;
      const most = worst(reference, rows);
      for (const row of rows) {
        expect(Math.abs(found.largest[row]! - reference.largest[row]!) / most).toBeLessThan(1e-3);
        expect(Math.abs(found.smallest[row]! - reference.smallest[row]!) / most).toBeLessThan(1e-3);
      }
    }
  });
});

describe('a passage beside the axis of a deck that twists', () => {
  it.each([
    [20, 'forward'],
    [100, 'reverse'],
    [290, 'forward'],
  ] as const)('at %i km/h %s finds the peaks of the converged plain path', (kmh, direction: Direction) => {
    // Rotations about x are linear between nodes: at walking pace their kinks are worth half a per cent of what little there is to shake.
    const model = buildDynamicModel(eccentricDeck, { lineStep: 0.03 });
    const reference = plainPassage(model, train, direction, kmh / 3.6, converged);
    const found = runPassage(model, buildTrainTables(model, train, direction), kmh / 3.6);
    for (const [quantity, rows] of rowsByQuantity(model))
      expect(Math.abs(worst(found, rows) / worst(reference, rows) - 1), quantity).toBeLessThan(required);
  });

  it('with one bearing lost, at a deck end that gives way under the wheels, finds them too', () => {
    const model = buildDynamicModel(oneBearingLost);
    const reference = plainPassage(model, train, 'reverse', 40 / 3.6, {
      ...convergedWithJumps,
      samplesPerPeriod: 320,
    });
    const found = runPassage(model, buildTrainTables(model, train, 'reverse'), 40 / 3.6);
    for (const [quantity, rows] of rowsByQuantity(model)) {
      expect(Math.abs(worst(found, rows) / worst(reference, rows) - 1), quantity).toBeLessThan(required);
    }
  });
});

// Not on springs without a track: there an axle comes onto the deck at once, however slow, and the deck swings.
describe.each(structures.filter(([, viaduct]) => viaduct !== elasticDeck))(
  'a slow passage over %s',
  (_, viaduct) => {
    const model = buildDynamicModel(viaduct);

    it('is the quasi-static one', () => {
      const tables = buildTrainTables(model, train, 'forward');
      const slow = runPassage(model, tables, 2);
      const still = quasiStaticPeaks(model, tables);
      for (const [quantity, rows] of rowsByQuantity(model)) {
        if (quantity.endsWith('acceleration')) continue;
        expect(Math.abs(worst(slow, rows) / worst(still, rows) - 1), quantity).toBeLessThan(required);
      }
    });
  },
);

describe('objectives', () => {
  const model = buildDynamicModel(trackedDeck);
  const tables = buildTrainTables(model, train, 'forward');
  const rows = rowsByQuantity(model).get('bending')!;
  const weights = Float64Array.from(rows, (_, i) => (i % 3 === 0 ? -1 : 1) / (4e6 + 1e5 * i));
  const offsets = Float64Array.from(rows, (_, i) => 0.4 * Math.sin(i));
  const objective: Objective = { rows: Int32Array.from(rows), weights, offsets };
  const objectives = new ObjectiveIndex([objective], model.rows.length);
  const reached = (peaks: Peaks) =>
    rows.reduce((most, row, i) => {
      const value = weights[i]! > 0 ? peaks.largest[row]! : peaks.smallest[row]!;
      return Math.max(most, offsets[i]! + weights[i]! * value);
    }, Number.NEGATIVE_INFINITY);

  it('find the worst of weighted and offset rows as the full envelopes do', () => {
    for (const kmh of [60, 130, 220]) {
      const full = reached(runPassage(model, tables, kmh / 3.6));
      const wanted = reached(runPassage(model, tables, kmh / 3.6, { objectives }));
      expect(Math.abs(wanted / full - 1)).toBeLessThan(1e-9);
    }
  });

  it('need not find what stays below a value already reached', () => {
    const peaks = runPassage(model, tables, 30, { objectives, atLeast: Float64Array.of(1e9) });
    expect(peaks.largest.every((value) => value === 0)).toBe(true);
  });

  it('give the same numbers on every run', () => {
    const run = () => runPassage(model, tables, 50, { objectives });
    expect(run()).toEqual(run());
  });
});

describe('tables of a train that is its own mirror image', () => {
  const symmetric: MovingTrain = trainOf([0, 2.2, 15.7, 17.9], 180e3);
  const model = buildDynamicModel(elasticDeck);
  const forward = buildTrainTables(model, symmetric, 'forward');

  it('give the same reverse passage whether built anew or taken from the other direction', () => {
    const anew = runPassage(model, buildTrainTables(model, symmetric, 'reverse'), 45);
    const taken = runPassage(model, buildTrainTables(model, symmetric, 'reverse', forward), 45);
    for (const [quantity, rows] of rowsByQuantity(model))
      expect(Math.abs(worst(taken, rows) / worst(anew, rows) - 1), quantity).toBeLessThan(0.001);
  });
});
