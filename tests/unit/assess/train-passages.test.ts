import { describe, expect, it } from 'vitest';
import { buildDynamicModel } from '../../../solver/dynamic-model.js';
import { type Objective, ObjectiveIndex } from '../../../solver/objective.js';
import { runPassage } from '../../../solver/passage.js';
import { together } from '../../../solver/peaks.js';
import { buildTrainTables } from '../../../solver/train-tables.js';
import { TrainPassages } from '../../../worker/assess/train-passages.js';
import { trainOf, uniformSpans, viaductOf } from '../../verification/models/viaducts.js';

const model = buildDynamicModel(viaductOf(uniformSpans([24, 30]), { dampingRatio: 0.005 }));
const train = trainOf([0, 2.5, 18, 20.5, 36, 38.5, 54, 56.5, 70], [...new Array(8).fill(170e3), 110e3]);
const forward = buildTrainTables(model, train, 'forward');
const reverse = buildTrainTables(model, train, 'reverse', forward);

const quantities = [...new Set(model.rows.map(({ quantity }) => quantity))];
/** Every quantity either way, and each once more with offsets that differ from row to row and are below zero. */
const objectives = new ObjectiveIndex(
  [0, -3].flatMap((offset) =>
    [1, -1].flatMap((weight) =>
      quantities.map((wanted): Objective => {
        const rows = model.rows.flatMap(({ quantity }, row) => (quantity === wanted ? [row] : []));
        return {
          rows: Int32Array.from(rows),
          weights: new Float64Array(rows.length).fill(weight),
          offsets: Float64Array.from(rows, (row) => offset * (1 + 0.1 * Math.sin(row))),
        };
      }),
    ),
  ),
  model.rows.length,
);
/** A coach length of 18 m meets the first frequency on the way, so that much less is reached beside the peak than on it. */
const resonance = (3.6 * 18 * model.modes.angularFrequencies[0]!) / (2 * Math.PI);

describe('passages in both directions', () => {
  it.each([
    ['ascending', [40, 120, 0.9 * resonance, resonance, 1.05 * resonance, 1.3 * resonance]],
    ['filling gaps', [40, 1.4 * resonance, resonance, 1.1 * resonance, 0.97 * resonance, 0.5 * resonance]],
    ['after the quasi-static passage', [0, 10, 1.2 * resonance, resonance]],
  ])('find what passages without a guess from other speeds find, speeds %s', (_, speeds) => {
    const passages = new TrainPassages(model, [forward, reverse], objectives);
    for (const kmh of speeds) {
      const found = objectives.reached(passages.peaksAt(kmh));
      if (kmh === 0) continue;
      const plain = together(
        runPassage(model, forward, kmh / 3.6, { objectives }),
        runPassage(model, reverse, kmh / 3.6, { objectives }),
      );
      expect(found, `${kmh} km/h`).toEqual(objectives.reached(plain));
    }
  });
});
