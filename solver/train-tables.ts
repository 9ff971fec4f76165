import type { DynamicModel } from './dynamic-model.js';
import type { MovingTrain } from './model.js';

export type Direction = 'forward' | 'reverse';

/** A function of the head's position, zero outside the stored range. */
export interface PositionTable {
  readonly first: number;
  readonly values: Float64Array;
}

/**
 * What a whole train does, depending only on where its head is: shared by all speeds. Sample k has the head k steps
 * past the end of the line where the train enters.
 */
export interface TrainTables {
  readonly step: number;
  /** Samples until the last axle has left. */
  readonly count: number;
  /** Generalised force of each mode. */
  readonly modalForces: readonly Float64Array[];
  /** Static response of each row; null for accelerations. */
  readonly statics: readonly (PositionTable | null)[];
}

/** Entries of an influence line below this share of its peak are dropped. */
const negligible = 1e-7;

export function buildTrainTables(model: DynamicModel, train: MovingTrain, direction: Direction): TrainTables {
  const { line } = model;
  const length = train.positions[train.positions.length - 1]!;
  const count = line.count + Math.ceil(length / line.step) + 1;
  const oriented = (samples: Float64Array) =>
    direction === 'forward' ? samples : Float64Array.from(samples).reverse();
  return {
    step: line.step,
    count,
    modalForces: model.modeLines.map((samples) => {
      const values = new Float64Array(count);
      superpose(oriented(samples), 0, line.count, train, line.step, values, 0);
      return values;
    }),
    statics: model.influenceLines.map((samples) =>
      samples ? tabulate(oriented(samples), train, line.step, length) : null,
    ),
  };
}

function tabulate(samples: Float64Array, train: MovingTrain, step: number, length: number): PositionTable {
  let peak = 0;
  for (let k = 0; k < samples.length; k++) peak = Math.max(peak, Math.abs(samples[k]!));
  let from = 0;
  let to = samples.length;
  while (from < to && Math.abs(samples[from]!) <= negligible * peak) from++;
  while (to > from && Math.abs(samples[to - 1]!) <= negligible * peak) to--;
  const first = Math.max(0, from - 1);
  const values = new Float64Array(to - first + Math.ceil(length / step) + 2);
  superpose(samples, from, to, train, step, values, first);
  return { first, values };
}

/** values[k - first] += sum over axles of P f(k step - position), f linear between samples. */
function superpose(
  samples: Float64Array,
  from: number,
  to: number,
  train: MovingTrain,
  step: number,
  values: Float64Array,
  first: number,
): void {
  for (let axle = 0; axle < train.positions.length; axle++) {
    const shift = train.positions[axle]! / step;
    const whole = Math.ceil(shift);
    const fraction = whole - shift;
    const load = train.loads[axle]!;
    const here = load * (1 - fraction);
    const next = load * fraction;
    const offset = whole - first;
    for (let k = from; k < to; k++) {
      const sample = samples[k]!;
      const index = k + offset;
      if (index >= 0 && index < values.length) values[index]! += here * sample;
      if (index > 0 && index <= values.length) values[index - 1]! += next * sample;
    }
  }
}
