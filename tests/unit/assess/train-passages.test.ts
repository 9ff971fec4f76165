import { describe, expect, it } from 'vitest';
import { buildDynamicModel, type DynamicModel } from '../../../solver/dynamic-model/dynamic-model.js';
import { quasiStaticPeaks, runPassage } from '../../../solver/passage/passage.js';
import { buildTrainTables } from '../../../solver/passage/train-tables.js';
import { type Objective, ObjectiveIndex } from '../../../solver/peaks/objective.js';
import { type Peaks, together } from '../../../solver/peaks/peaks.js';
import type { ResponseRow } from '../../../solver/rows/response-rows.js';
import { TrainPassages } from '../../../worker/assess/train-passages.js';
import { trainOf, uniformSpans, viaductOf } from '../../verification/models/viaducts.js';

const train = trainOf([0, 2.5, 18, 20.5, 36, 38.5, 54, 56.5, 70], [...new Array(8).fill(170e3), 110e3]);
const uneven = buildDynamicModel(viaductOf(uniformSpans([24, 30]), { dampingRatio: 0.005 }));
const even = buildDynamicModel(viaductOf(uniformSpans([24, 30, 24]), { dampingRatio: 0.005 }));

/** Every quantity either way, each once more with offsets that differ from row to row and are below zero, and in each half alone. */
function objectivesOf(model: DynamicModel): ObjectiveIndex {
  const quantities = [...new Set(model.rows.map(({ quantity }) => quantity))];
  const middle = Math.max(...model.rows.map(({ x }) => x)) / 2;
  const objective = (weight: number, offset: number, wanted: (row: ResponseRow) => boolean): Objective => {
    const rows = model.rows.flatMap((row, index) => (wanted(row) ? [index] : []));
    return {
      rows: Int32Array.from(rows),
      weights: new Float64Array(rows.length).fill(weight),
      // As far from the middle, as large.
      offsets: Float64Array.from(
        rows,
        (row) => offset * (1 + 0.1 * Math.sin(Math.abs(model.rows[row]!.x - middle))),
      ),
    };
  };
  const both = [1, -1].flatMap((weight) =>
    quantities.flatMap((wanted) => [
      ...[0, -3].map((offset) => objective(weight, offset, ({ quantity }) => quantity === wanted)),
      ...[-1, 1].map((half) =>
        objective(weight, 0, ({ quantity, x }) => quantity === wanted && half * (x - middle) > -1e-6),
      ),
    ]),
  );
  return new ObjectiveIndex(
    both.filter(({ rows }) => rows.length > 0),
    model.rows.length,
  );
}

/** A coach length of 18 m meets the first frequency on the way, so that much less is reached beside the peak than on it. */
const resonanceOf = (model: DynamicModel) => (3.6 * 18 * model.modes.angularFrequencies[0]!) / (2 * Math.PI);

describe('passages in both directions', () => {
  it.each([
    [
      'ascending',
      (resonance: number) => [40, 120, 0.9, 1, 1.05, 1.3].map((f) => (f < 2 ? f * resonance : f)),
    ],
    [
      'filling gaps',
      (resonance: number) => [40, 1.4, 1, 1.1, 0.97, 0.5].map((f) => (f < 2 ? f * resonance : f)),
    ],
    ['after the quasi-static passage', (resonance: number) => [0, 10, 1.2 * resonance, resonance]],
  ])('find what passages without a guess from other speeds find, speeds %s', (_, speedsAt) => {
    const forward = buildTrainTables(uneven, train, 'forward');
    const reverse = buildTrainTables(uneven, train, 'reverse', forward);
    const objectives = objectivesOf(uneven);
    const passages = new TrainPassages(uneven, forward, () => reverse, objectives);
    for (const kmh of speedsAt(resonanceOf(uneven))) {
      const found = objectives.reached(passages.peaksAt(kmh));
      if (kmh === 0) continue;
      const plain = together(
        runPassage(uneven, forward, kmh / 3.6, { objectives }),
        runPassage(uneven, reverse, kmh / 3.6, { objectives }),
      );
      expect(found, `${kmh} km/h`).toEqual(objectives.reached(plain));
    }
  });

  it('are those forwards alone and their mirror image where the viaduct is its own', () => {
    const forward = buildTrainTables(even, train, 'forward');
    const reverse = buildTrainTables(even, train, 'reverse');
    const objectives = objectivesOf(even);
    const passages = new TrainPassages(
      even,
      forward,
      () => {
        throw new Error('no passage in reverse is needed');
      },
      objectives,
    );
    for (const kmh of [0, 60, resonanceOf(even), 1.2 * resonanceOf(even)]) {
      const plain = [forward, reverse].map((tables) =>
        kmh === 0 ? quasiStaticPeaks(even, tables) : runPassage(even, tables, kmh / 3.6),
      );
      const wanted = plain.reduce(together);
      const scale = largestByQuantity(even, wanted);
      const found = objectives.reached(passages.peaksAt(kmh));
      objectives.reached(wanted).forEach((value, index) => {
        const { quantity } = even.rows[objectives.objectives[index]!.rows[0]!]!;
        expect(Math.abs(found[index]! - value)).toBeLessThanOrEqual(1e-3 * scale.get(quantity)!);
      });
      const all = passages.allPeaksAt(kmh);
      even.rows.forEach(({ quantity }, row) => {
        const allowed = 1e-3 * scale.get(quantity)!;
        expect(Math.abs(all.largest[row]! - wanted.largest[row]!)).toBeLessThanOrEqual(allowed);
        expect(Math.abs(all.smallest[row]! - wanted.smallest[row]!)).toBeLessThanOrEqual(allowed);
      });
    }
  });

  it('are run both ways where limits that do not mirror each other are set on a viaduct that is its own mirror image', () => {
    const forward = buildTrainTables(even, train, 'forward');
    const reverse = buildTrainTables(even, train, 'reverse');
    const first = even.rows.flatMap(({ quantity, span }, row) =>
      quantity === 'deck-acceleration' && span === 0 ? [row] : [],
    );
    const objectives = new ObjectiveIndex(
      [
        {
          rows: Int32Array.from(first),
          weights: new Float64Array(first.length).fill(1),
          offsets: new Float64Array(first.length),
        },
      ],
      even.rows.length,
    );
    const speed = resonanceOf(even);
    const passages = new TrainPassages(even, forward, () => reverse, objectives);
    const plain = [forward, reverse].map(
      (tables) => objectives.reached(runPassage(even, tables, speed / 3.6, { objectives }))[0]!,
    );
    expect(plain[1]).not.toBe(plain[0]);
    expect(objectives.reached(passages.peaksAt(speed))[0]).toBe(Math.max(...plain));
  });
});

function largestByQuantity(model: DynamicModel, { largest, smallest }: Peaks): Map<string, number> {
  const scale = new Map<string, number>();
  model.rows.forEach(({ quantity }, row) => {
    scale.set(quantity, Math.max(scale.get(quantity) ?? 0, largest[row]!, -smallest[row]!));
  });
  return scale;
}
