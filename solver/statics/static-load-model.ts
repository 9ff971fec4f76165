import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import { heldInfluence } from '../jumps/influence-jumps.js';
import type { Peaks } from '../peaks/peaks.js';
import type { StaticLoadModel } from '../viaduct/model.js';

/**
 * Largest and smallest static effect of a load model placed wherever it is worst, times its dynamic factor, of slab and rails their own;
 * 0 for accelerations.
 * Axles move as a group; unlimited line loads stand only on adverse parts of the influence line, blocks of given length stand whole
 * (EN 1991-2:2003 6.3.2 and 6.3.3 (mem)). Positions are sampled at the loaded line's step.
 */
export function staticLoadPeaks(model: DynamicModel, load: StaticLoadModel): Peaks {
  const { step, count } = model.line;
  const peaks: Peaks = {
    largest: new Float64Array(model.rows.length),
    smallest: new Float64Array(model.rows.length),
  };
  const sumsOfLine = new Float64Array(count);
  const adverseOfLine = new Float64Array(count);
  model.influenceLines.forEach((influence, row) => {
    if (!influence) return;
    const { quantity } = model.rows[row]!;
    const isOfTrack = quantity === 'slab-bending' || quantity === 'rail-bending';
    const factor = isOfTrack ? load.trackFactor : load.dynamicFactor;
    const { values } = heldInfluence(influence, 1);
    const sums = sumsOfLine.subarray(0, values.length);
    const adverse = adverseOfLine.subarray(0, values.length);
    const opposite = heldInfluence(influence, -1).values.map((value) => -value);
    peaks.largest[row] = worstPlacement(load, values, sums, adverse, step) * factor;
    peaks.smallest[row] = -worstPlacement(load, opposite, sums, adverse, step) * factor;
  });
  return peaks;
}

/** Largest effect, not below 0 and without the dynamic factor, over all positions of the model on a line that ends in zeros. */
export function worstStaticEffect(load: StaticLoadModel, influence: Float64Array, step: number): number {
  const { length } = influence;
  return worstPlacement(load, influence, new Float64Array(length), new Float64Array(length), step);
}

/** Largest effect, not below 0, over all positions of the model. `sums` and `adverse` are room for running integrals. */
function worstPlacement(
  load: StaticLoadModel,
  influence: Float64Array,
  sums: Float64Array,
  adverse: Float64Array,
  step: number,
): number {
  const reach = Math.ceil(extent(load) / step) + 1;
  const positive = influence.map((value) => Math.max(0, value));
  runningIntegral(influence, step, sums);
  runningIntegral(positive, step, adverse);
  let worst = 0;
  for (let start = -reach; start < influence.length; start++) {
    const value = effect(load, influence, positive, sums, adverse, start, step);
    if (value > worst) worst = value;
  }
  return worst;
}

function extent(load: StaticLoadModel): number {
  const axles = load.positions.length > 0 ? load.positions[load.positions.length - 1]! : 0;
  return load.lineLoads.reduce((sum, { length, gap }) => sum + (length ?? 0) + gap, axles);
}

/** Effect with the group's first axle, or the first block's beginning, at sample `start`. */
function effect(
  load: StaticLoadModel,
  influence: Float64Array,
  positive: Float64Array,
  sums: Float64Array,
  adverse: Float64Array,
  start: number,
  step: number,
): number {
  let sum = 0;
  load.positions.forEach((position, axle) => {
    sum += load.loads[axle]! * valueAt(influence, start + position / step);
  });
  const groupEnd = load.positions.length > 0 ? load.positions[load.positions.length - 1]! / step : 0;
  let blockStart = start + groupEnd;
  for (const { load: intensity, length, gap } of load.lineLoads) {
    if (length === null) {
      const free = integral(positive, adverse, step, start - gap / step, start + groupEnd + gap / step);
      sum += intensity * (adverse[adverse.length - 1]! - free);
      continue;
    }
    const end = blockStart + length / step;
    sum += intensity * integral(influence, sums, step, blockStart, end);
    blockStart = end + gap / step;
  }
  return sum;
}

/** By the trapezoidal rule, from the first sample to each. */
function runningIntegral(values: Float64Array, step: number, running: Float64Array): void {
  running[0] = 0;
  for (let k = 1; k < values.length; k++)
    running[k] = running[k - 1]! + ((values[k - 1]! + values[k]!) / 2) * step;
}

/** Integral between two sample positions of what is straight between samples and nothing beyond them. */
function integral(
  values: Float64Array,
  running: Float64Array,
  step: number,
  from: number,
  to: number,
): number {
  const upTo = (position: number) => {
    const place = Math.min(values.length - 1, Math.max(0, position));
    const index = Math.floor(place);
    return running[index]! + ((values[index]! + valueAt(values, place)) / 2) * (place - index) * step;
  };
  return upTo(to) - upTo(from);
}

function valueAt(influence: Float64Array, position: number): number {
  const index = Math.floor(position);
  if (index < 0 || index >= influence.length) return 0;
  const next = influence[index + 1] ?? influence[index]!;
  return influence[index]! + (next - influence[index]!) * (position - index);
}
