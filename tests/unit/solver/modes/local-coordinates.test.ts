import { describe, expect, it } from 'vitest';
import { buildDynamicModel, type DynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { runPassage } from '../../../../solver/passage/passage.js';
import { buildTrainTables } from '../../../../solver/passage/train-tables.js';
import { rowsOf } from '../../../verification/models/rows.js';
import { slabTrack, trainOf, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

const spans = 21;
const joints = Object.fromEntries(
  Array.from({ length: spans + 1 }, (_, i) => [
    i,
    { stiffness: 3e9, joint: i % 3 === 0 && i > 0 && i < spans },
  ]),
);
const model = buildDynamicModel(
  viaductOf(uniformSpans(Array.from({ length: spans }, () => 36)), {
    dampingRatio: 0.01,
    supportChanges: joints,
    track: slabTrack(),
  }),
);
const train = trainOf([0, 2.5, 17, 19.5, 24, 26.5, 41, 43.5, 49], 160e3);

describe('local coordinates of a long viaduct', () => {
  const local = model.local!;

  it('take every mode once', () => {
    const numbers = local.flatMap(({ first, count }) => Array.from({ length: count }, (_, k) => first + k));
    expect(numbers).toEqual([...model.modes.shapes.keys()]);
  });

  it('are an orthogonal change within each group', () => {
    for (const { count: n, rotation } of local) {
      for (let a = 0; a < n; a++)
        for (let b = 0; b <= a; b++) {
          let product = 0;
          for (let k = 0; k < n; k++) product += rotation[a * n + k]! * rotation[b * n + k]!;
          expect(Math.abs(product - (a === b ? 1 : 0))).toBeLessThan(1e-10);
        }
    }
  });

  it('let few coordinates move a span, where every mode does', () => {
    const strong = (sets: DynamicModel['rowSets']) =>
      sets.reduce((sum, { most }) => {
        const top = Math.max(...most);
        return sum + most.filter((value) => value > 0.01 * top).length;
      }, 0);
    expect(strong(model.localSets)).toBeLessThan(0.4 * strong(model.rowSets));
  });
});

/** Decks of their own on elastic piers without a track: forces jump as axles come onto each. */
const decksOnPiers = buildDynamicModel(
  viaductOf(uniformSpans(Array.from({ length: 12 }, () => 30)), {
    dampingRatio: 0.01,
    supportChanges: Object.fromEntries(
      Array.from({ length: 13 }, (_, i) => [i, { stiffness: 3e9, joint: i > 0 && i < 12 }]),
    ),
  }),
);

describe.each([
  ['continuous decks with a track', model],
  ['simple decks on elastic piers, without a track', decksOnPiers],
] as const)('local coordinates of %s', (_, dynamics) => {
  const byModes: DynamicModel = { ...dynamics, local: null, localSets: dynamics.rowSets };

  it('are there', () => {
    expect(dynamics.local).not.toBeNull();
  });

  it.each([
    [25, 'forward'],
    [50, 'reverse'],
  ] as const)('find the same peaks as the modes themselves, at %i m/s %s', (speed, direction) => {
    const here = runPassage(dynamics, buildTrainTables(dynamics, train, direction), speed);
    const there = runPassage(byModes, buildTrainTables(byModes, train, direction), speed);
    for (const quantity of new Set(dynamics.rows.map((row) => row.quantity))) {
      const rows = rowsOf(dynamics, quantity);
      const most = Math.max(...rows.map((row) => Math.max(there.largest[row]!, -there.smallest[row]!)));
      for (const row of rows) {
        expect(Math.abs(here.largest[row]! - there.largest[row]!) / most, quantity).toBeLessThan(1e-4);
        expect(Math.abs(here.smallest[row]! - there.smallest[row]!) / most, quantity).toBeLessThan(1e-4);
      }
    }
  });
});

it('a short viaduct is looked at mode by mode', () => {
  expect(buildDynamicModel(viaductOf(uniformSpans([24, 24]), { track: slabTrack() })).local).toBeNull();
});
