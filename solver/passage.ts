import type { DynamicModel } from './dynamic-model.js';
import { recurrenceCoefficients } from './recurrence.js';
import type { TrainTables } from './train-tables.js';

/** Largest and smallest value of every row over time. */
export interface Peaks {
  readonly largest: Float64Array;
  readonly smallest: Float64Array;
}

export interface PassageOptions {
  /** Samples per period of the highest mode; peaks between them are found by a parabola. */
  readonly samplesPerPeriod?: number;
}

const blockLength = 64;

/**
 * One passage of a train at one speed: modal coordinates by the exact recurrence, rows from their static influence plus the
 * modes' departure from statics, q - p / w^2 (mode-acceleration form; R. R. Craig, Structural Dynamics, 1981, section 15.5),
 * accelerations from q'' of the modes. Runs on after the last axle until the free vibration cannot raise any peak.
 *
 * @param speed m/s, above 0
 */
export function runPassage(
  model: DynamicModel,
  tables: TrainTables,
  speed: number,
  options: PassageOptions = {},
): Peaks {
  const { modes, rows, modalValues, dampingRatios } = model;
  const count = modes.shapes.length;
  const w = modes.angularFrequencies;
  const highest = w[count - 1]!;
  const timeStep = Math.min(
    (2 * Math.PI) / highest / (options.samplesPerPeriod ?? 8),
    model.shortestSpan / 40 / speed,
  );
  const peaks: Peaks = { largest: new Float64Array(rows.length), smallest: new Float64Array(rows.length) };
  const coefficients = new Float64Array(8 * count);
  for (let j = 0; j < count; j++)
    recurrenceCoefficients(w[j]!, dampingRatios[j]!, timeStep, coefficients, 8 * j);

  const departure = new Float64Array(count * blockLength);
  const acceleration = new Float64Array(count * blockLength);
  const departurePeak = new Float64Array(count);
  const accelerationPeak = new Float64Array(count);
  const displacement = new Float64Array(count);
  const velocity = new Float64Array(count);
  const force = new Float64Array(count);
  const indices = new Int32Array(blockLength);
  const fractions = new Float64Array(blockLength);
  const history = new Float64Array(blockLength);
  const smooth = rows.map((row) => row.direct.length === 0 || row.quantity === 'bending');

  const travel = (speed * timeStep) / tables.step;
  const crossing = Math.ceil((tables.count - 1) / travel);
  const longestFree = Math.ceil((10 * 2 * Math.PI) / w[0]! / timeStep);
  const steps = crossing + longestFree;
  // The first two columns repeat the last two of the block before, so that a peak on the seam is seen from both sides.
  for (let done = 0; done < steps; ) {
    const columns = Math.min(blockLength - 2, steps - done);
    for (let b = 0; b < 2; b++) {
      indices[b] = indices[blockLength - 2 + b]!;
      fractions[b] = fractions[blockLength - 2 + b]!;
    }
    for (let b = 0; b < columns; b++) {
      const position = (done + b + 1) * travel;
      const index = Math.floor(position);
      indices[b + 2] = index;
      fractions[b + 2] = position - index;
    }
    for (let j = 0; j < count; j++) {
      advanceMode(j, columns);
    }
    evaluateRows(columns + 2);
    done += columns;
    if (done > crossing && !canRise()) break;
  }
  return peaks;

  function advanceMode(j: number, columns: number): void {
    const table = tables.modalForces[j]!;
    const last = table.length - 1;
    const base = j * blockLength;
    const square = w[j]! * w[j]!;
    const inverse = 1 / square;
    const twoZetaOmega = 2 * dampingRatios[j]! * w[j]!;
    const a0 = coefficients[8 * j]!;
    const a1 = coefficients[8 * j + 1]!;
    const a2 = coefficients[8 * j + 2]!;
    const a3 = coefficients[8 * j + 3]!;
    const a4 = coefficients[8 * j + 4]!;
    const a5 = coefficients[8 * j + 5]!;
    const a6 = coefficients[8 * j + 6]!;
    const a7 = coefficients[8 * j + 7]!;
    let q = displacement[j]!;
    let v = velocity[j]!;
    let p = force[j]!;
    departure[base] = departure[base + blockLength - 2]!;
    departure[base + 1] = departure[base + blockLength - 1]!;
    acceleration[base] = acceleration[base + blockLength - 2]!;
    acceleration[base + 1] = acceleration[base + blockLength - 1]!;
    let departureMost = Math.max(Math.abs(departure[base]!), Math.abs(departure[base + 1]!));
    let accelerationMost = Math.max(Math.abs(acceleration[base]!), Math.abs(acceleration[base + 1]!));
    for (let b = 2; b < columns + 2; b++) {
      const index = indices[b]!;
      let p1 = 0;
      if (index < last) {
        const value = table[index]!;
        p1 = value + (table[index + 1]! - value) * fractions[b]!;
      }
      const q1 = a0 * q + a1 * v + a2 * p + a3 * p1;
      v = a4 * q + a5 * v + a6 * p + a7 * p1;
      q = q1;
      p = p1;
      const away = q - p * inverse;
      const second = p - twoZetaOmega * v - square * q;
      departure[base + b] = away;
      acceleration[base + b] = second;
      if (away > departureMost) departureMost = away;
      else if (-away > departureMost) departureMost = -away;
      if (second > accelerationMost) accelerationMost = second;
      else if (-second > accelerationMost) accelerationMost = -second;
    }
    displacement[j] = q;
    velocity[j] = v;
    force[j] = p;
    departurePeak[j] = departureMost;
    accelerationPeak[j] = accelerationMost;
  }

  function evaluateRows(columns: number): void {
    for (let r = 0; r < rows.length; r++) {
      const table = tables.statics[r]!;
      const modal = table ? departure : acceleration;
      const modalPeak = table ? departurePeak : accelerationPeak;
      const base = r * count;
      let swing = 0;
      for (let j = 0; j < count; j++) swing += Math.abs(modalValues[base + j]!) * modalPeak[j]!;
      history.fill(0, 0, columns);
      let high = swing;
      let low = -swing;
      if (table) {
        const most = addStatics(table.values, table.first, columns);
        high += most.high;
        low += most.low;
      }
      if (high <= peaks.largest[r]! && low >= peaks.smallest[r]!) continue;
      for (let j = 0; j < count; j++) {
        const value = modalValues[base + j]!;
        const from = j * blockLength;
        for (let b = 0; b < columns; b++) history[b]! += value * modal[from + b]!;
      }
      recordPeaks(history, columns, peaks, r, smooth[r]!);
    }
  }

  function addStatics(values: Float64Array, first: number, columns: number): { high: number; low: number } {
    const last = values.length - 1;
    let high = 0;
    let low = 0;
    for (let b = 0; b < columns; b++) {
      const index = indices[b]! - first;
      if (index < 0 || index >= last) continue;
      const value = values[index]!;
      const sum = value + (values[index + 1]! - value) * fractions[b]!;
      history[b] = sum;
      if (sum > high) high = sum;
      else if (sum < low) low = sum;
    }
    return { high, low };
  }

  /** Whether the free vibration that is left could still raise any row's peak. */
  function canRise(): boolean {
    for (let r = 0; r < rows.length; r++) {
      const modalPeak = tables.statics[r] ? departurePeak : accelerationPeak;
      let swing = 0;
      for (let j = 0; j < count; j++) swing += Math.abs(modalValues[r * count + j]!) * modalPeak[j]!;
      if (swing > peaks.largest[r]! || -swing < peaks.smallest[r]!) return true;
    }
    return false;
  }
}

/**
 * Raises the row's peaks by a history; where it is smooth, the parabola through three samples stands in for the curve between
 * them. Shears and reactions jump as an axle passes: a parabola across a jump would overshoot.
 */
export function recordPeaks(
  history: Float64Array,
  columns: number,
  peaks: Peaks,
  row: number,
  smooth: boolean,
): void {
  let largest = peaks.largest[row]!;
  let smallest = peaks.smallest[row]!;
  for (let b = 0; b < columns; b++) {
    const value = history[b]!;
    if (value > largest) largest = value;
    else if (value < smallest) smallest = value;
  }
  for (let b = 1; smooth && b + 1 < columns; b++) {
    const value = history[b]!;
    const before = history[b - 1]!;
    const after = history[b + 1]!;
    const curvature = 2 * value - before - after;
    if (
      curvature > 0 ? value >= before && value >= after : value <= before && value <= after && curvature < 0
    ) {
      const vertex = value + ((after - before) * (after - before)) / (8 * curvature);
      if (vertex > largest) largest = vertex;
      else if (vertex < smallest) smallest = vertex;
    }
  }
  peaks.largest[row] = largest;
  peaks.smallest[row] = smallest;
}

/** The passage as v -> 0: static influence only, no acceleration. */
export function quasiStaticPeaks(model: DynamicModel, tables: TrainTables): Peaks {
  const count = model.rows.length;
  const peaks: Peaks = { largest: new Float64Array(count), smallest: new Float64Array(count) };
  tables.statics.forEach((table, row) => {
    if (table) recordPeaks(table.values, table.values.length, peaks, row, false);
  });
  return peaks;
}
