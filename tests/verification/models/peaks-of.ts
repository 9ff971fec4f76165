import type { DynamicModel } from '../../../solver/dynamic-model/dynamic-model.js';
import { runPassage } from '../../../solver/passage/passage.js';
import { buildTrainTables, type Direction } from '../../../solver/passage/train-tables.js';
import type { Peaks } from '../../../solver/peaks/peaks.js';
import type { Quantity } from '../../../solver/rows/response-rows.js';
import type { MovingTrain } from '../../../solver/viaduct/model.js';

/** Peaks of one passage. */
export function peaksOf(
  model: DynamicModel,
  train: MovingTrain,
  speed: number,
  direction: Direction = 'forward',
): Peaks {
  return runPassage(model, buildTrainTables(model, train, direction), speed);
}

/** Every kind of response that the model has rows of, with the largest absolute peak over all of its rows. */
export function governingPeaks(model: DynamicModel, peaks: Peaks): Map<Quantity, number> {
  const found = new Map<Quantity, number>();
  model.rows.forEach(({ quantity }, row) => {
    const most = Math.max(peaks.largest[row]!, -peaks.smallest[row]!);
    found.set(quantity, Math.max(found.get(quantity) ?? 0, most));
  });
  return found;
}

/** Unit of each kind of response. */
export const unitOf: Readonly<Record<Quantity, string>> = {
  'deck-acceleration': 'm/s2',
  'slab-acceleration': 'm/s2',
  'deck-deflection': 'm',
  bending: 'Nm',
  shear: 'N',
  'support-reaction': 'N',
  'bearing-reaction': 'N',
  'end-rotation': 'rad',
  'joint-step': 'm',
  'fastening-force': 'N',
  'deck-twist': 'm',
  'slab-bending': 'Nm',
  'rail-bending': 'Nm',
};
