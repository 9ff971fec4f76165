import type { DynamicModel } from '../../../solver/dynamic-model/dynamic-model.js';
import { type TrainTables, tablePadding } from '../../../solver/passage/train-tables.js';
import { linearRecurrence } from '../../../solver/vehicle/linear-recurrence.js';

/** Modal coordinates of a passage at equal time steps; one array per mode, sample 0 at rest before the train enters. */
export interface PassageHistory {
  readonly timeStep: number;
  readonly count: number;
  /** q. */
  readonly coordinates: readonly Float64Array[];
  /** q - p / w^2. */
  readonly departures: readonly Float64Array[];
  /** q''. */
  readonly accelerations: readonly Float64Array[];
  /** Head of the train at each sample, in steps of the tables. */
  readonly headSamples: Float64Array;
}

/**
 * The passage of solver/passage/passage.ts written out plainly, with forces linear over each step, every sample kept.
 *
 * @param duration s
 * @param start x of the leading axle at time 0; where the loaded line begins unless given
 */
export function passageHistory(
  model: DynamicModel,
  tables: TrainTables,
  speed: number,
  timeStep: number,
  duration: number,
  start = model.line.from,
): PassageHistory {
  const count = Math.ceil(duration / timeStep) + 1;
  const headSamples = Float64Array.from(
    { length: count },
    (_, k) => (k * speed * timeStep + start - model.line.from) / tables.step,
  );
  const coordinates: Float64Array[] = [];
  const departures: Float64Array[] = [];
  const accelerations: Float64Array[] = [];
  model.modes.shapes.forEach((_, mode) => {
    const w = model.modes.angularFrequencies[mode]!;
    const zeta = model.dampingRatios[mode]!;
    const a = new Float64Array(8);
    linearRecurrence(w, zeta, timeStep, a, 0);
    const coordinate = new Float64Array(count);
    const departure = new Float64Array(count);
    const acceleration = new Float64Array(count);
    let q = 0;
    let v = 0;
    let p = 0;
    for (let k = 1; k < count; k++) {
      const next = interpolate(tables.modalForces[mode]!, headSamples[k]! + tablePadding);
      const q1 = a[0]! * q + a[1]! * v + a[2]! * p + a[3]! * next;
      v = a[4]! * q + a[5]! * v + a[6]! * p + a[7]! * next;
      q = q1;
      p = next;
      coordinate[k] = q;
      departure[k] = q - p / (w * w);
      acceleration[k] = p - 2 * zeta * w * v - w * w * q;
    }
    coordinates.push(coordinate);
    departures.push(departure);
    accelerations.push(acceleration);
  });
  return { timeStep, count, coordinates, departures, accelerations, headSamples };
}

/** One row of the model over time. */
export function rowHistory(
  model: DynamicModel,
  tables: TrainTables,
  history: PassageHistory,
  row: number,
): Float64Array {
  const statics = tables.statics[row]!;
  const modal = statics ? history.departures : history.accelerations;
  const modes = model.modes.shapes.length;
  return Float64Array.from({ length: history.count }, (_, k) => {
    let sum = statics
      ? interpolate(statics.values, history.headSamples[k]! / tables.rowStride - statics.first)
      : 0;
    for (let mode = 0; mode < modes; mode++) sum += model.modalValues[row * modes + mode]! * modal[mode]![k]!;
    return sum;
  });
}

function interpolate(values: Float64Array, position: number): number {
  const index = Math.floor(position);
  if (index < 0 || index + 1 >= values.length) return 0;
  return values[index]! + (values[index + 1]! - values[index]!) * (position - index);
}
