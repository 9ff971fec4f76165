import { describe, expect, it } from 'vitest';
import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { wholeLine } from '../../../../solver/lines/line-samples.js';
import { runPassage } from '../../../../solver/passage/passage.js';
import {
  buildTrainTables,
  type PositionTable,
  stretchLength,
  tablePadding,
} from '../../../../solver/passage/train-tables.js';
import { passageHistory, rowHistory } from '../../../verification/models/passage-history.js';
import { rowAt } from '../../../verification/models/rows.js';
import { trainOf, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';
import { relativeError } from '../random-systems.js';

const model = buildDynamicModel(viaductOf(uniformSpans([20, 27]), { dampingRatio: 0.01 }), { lineStep: 0.1 });
const { step, count } = model.line;
const at = (table: PositionTable, k: number) => table.values[k - table.first] ?? 0;

describe('tables of a train', () => {
  const row = rowAt(model, 'bending', 10);
  const influence = wholeLine(model.influenceLines[row]!, model.line.count);

  it('of one axle are the influence line and the mode line times its load', () => {
    const tables = buildTrainTables(model, trainOf([0], 5), 'forward');
    const statics = Array.from({ length: count }, (_, k) => at(tables.statics[row]!, k) / 5);
    expect(relativeError(statics, influence)).toBeLessThan(1e-4);
    const forces = tables.modalForces[1]!.subarray(tablePadding, tablePadding + count);
    expect(
      relativeError(
        forces,
        model.modeLines[1]!.map((value) => 5 * value),
      ),
    ).toBeLessThan(1e-12);
  });

  it('superpose axles at their distances, each behind the head', () => {
    const shift = 37;
    const tables = buildTrainTables(model, trainOf([0, shift * step], [2, 3]), 'forward');
    const expected = Array.from(
      { length: count + shift },
      (_, k) => 2 * (influence[k] ?? 0) + 3 * (influence[k - shift] ?? 0),
    );
    const found = expected.map((_, k) => at(tables.statics[row]!, k));
    expect(relativeError(found, expected)).toBeLessThan(1e-4);
  });

  it('of the reverse direction see the line from its far end', () => {
    const tables = buildTrainTables(model, trainOf([0], 1), 'reverse');
    const statics = Array.from({ length: count }, (_, k) => at(tables.statics[row]!, k));
    expect(relativeError(statics, Float64Array.from(influence).reverse())).toBeLessThan(1e-4);
  });

  it('may be shared between directions by a train that is its own mirror image', () => {
    const train = trainOf([0, 2.5, 16.52, 19.02], [5, 4, 4, 5]);
    const forward = buildTrainTables(model, train, 'forward');
    const shared = buildTrainTables(model, train, 'reverse', forward);
    expect(shared.staticsMirroredAt).not.toBeNull();
    const own = runPassage(model, buildTrainTables(model, train, 'reverse'), 50);
    const fromShared = runPassage(model, shared, 50);
    // Positions between samples are interpolated in the other direction: a share of one step.
    expect(relativeError(fromShared.largest, own.largest)).toBeLessThan(2e-3);
  });
});

describe('a passage', () => {
  // Fine enough for the plain history to read the tables by straight lines.
  const model = buildDynamicModel(viaductOf(uniformSpans([20, 27]), { dampingRatio: 0.01 }), {
    lineStep: 0.02,
  });
  const train = trainOf([0, 2.5, 16.5, 19], [210e3, 190e3, 170e3, 180e3]);
  const tables = buildTrainTables(model, train, 'forward');
  const history = passageHistory(model, tables, 60, 2.5e-4, 2.5);
  const rows = (
    [
      ['deck-deflection', 10],
      ['deck-acceleration', 10],
      ['bending', 20],
      ['support-reaction', 20],
      ['end-rotation', 0],
    ] as const
  ).map(([quantity, x]) => rowAt(model, quantity, x));

  // A peak is to be resolved to 1 % at the ordinary step. The cubic rounds the kink of the force as an axle comes onto the deck: first order in the step.
  it.each([
    { samplesPerPeriod: 8, tolerance: 1e-2 },
    { samplesPerPeriod: 128, tolerance: 1e-3 },
  ])(
    'with $samplesPerPeriod samples in a period has the peaks of the plain time history within $tolerance',
    ({ samplesPerPeriod, tolerance }) => {
      const peaks = runPassage(model, tables, 60, { samplesPerPeriod });
      for (const row of rows) {
        const values = rowHistory(model, tables, history, row);
        const most = Math.max(0, ...values);
        const least = Math.min(0, ...values);
        const size = Math.max(most, -least);
        expect(Math.abs(peaks.largest[row]! - most) / size).toBeLessThan(tolerance);
        expect(Math.abs(peaks.smallest[row]! - least) / size).toBeLessThan(tolerance);
      }
    },
  );

  it('have bounds that their values reach and never pass, also those of a whole set of rows', () => {
    const tables = buildTrainTables(model, trainOf([0, 2.5, 16.5], 1), 'forward');
    const stretches = Math.ceil((count + 16.5 / step) / stretchLength) + 2;
    model.localSets.forEach(({ rows }, set) => {
      const common = tables.setBounds[set];
      for (let stretch = 0; common && stretch < stretches; stretch++) {
        const own = Array.from(rows, (row) => {
          const table = tables.passages[row]!;
          const samples = Array.from({ length: stretchLength + 1 }, (_, k) =>
            at(table, stretch * stretchLength + k),
          );
          const crossed = Array.from(table.crossings?.heads ?? [], (head, k) => ({
            stretch: Math.floor(head / stretchLength),
            high: table.crossings!.highs[k]!,
            low: table.crossings!.lows[k]!,
          })).filter((one) => one.stretch === stretch);
          return {
            table,
            high: Math.max(...samples, ...crossed.map(({ high }) => high)),
            low: Math.min(...samples, ...crossed.map(({ low }) => low)),
          };
        });
        for (const { table, high, low } of own) {
          expect(table.highs[stretch - table.firstStretch] ?? 0).toBeCloseTo(high, 12);
          expect(table.lows[stretch - table.firstStretch] ?? 0).toBeCloseTo(low, 12);
        }
        const place = stretch - common.firstStretch;
        expect(common.highs[place] ?? 0).toBe(Math.max(...own.map(({ high }) => high)));
        expect(common.lows[place] ?? 0).toBe(Math.min(...own.map(({ low }) => low)));
      }
    });
  });
});
