import type { HeadPositions, RowHistory } from './row-history.js';
import type { PositionTable } from './train-tables.js';

const parts = 8;
/** Weights at each eighth between samples 0 and 1. */
const eighths = Float64Array.from({ length: 6 * (parts + 1) });
for (let part = 0; part <= parts; part++) quinticWeights(part / parts, eighths, 6 * part);
const weightsHere = new Float64Array(6);

/** Weights of samples -2 .. 3 in the quintic through them, at `fraction` between samples 0 and 1 (Lagrange). */
function quinticWeights(fraction: number, target: Float64Array, offset: number): void {
  for (let node = -2; node <= 3; node++) {
    let weight = 1;
    for (let other = -2; other <= 3; other++)
      if (other !== node) weight *= (fraction - other) / (node - other);
    target[offset + node + 2] = weight;
  }
}

/**
 * The largest value of `sign` times a row around a local maximum at a column: the modal part by quintic interpolation, which errs by
 * 0.1 % at eight samples per period, the static part from its own finer table, kinks and jumps included.
 */
export function peakBetweenSamples(
  history: RowHistory,
  table: PositionTable | null,
  head: HeadPositions,
  column: number,
  sign: number,
): number {
  let most = sign * history.total[column]!;
  let mostAt = 0;
  for (let part = 1 - parts; part < parts; part++) {
    const value = sign * valueAt(history, table, head, column, part);
    if (value > most) {
      most = value;
      mostAt = part;
    }
  }
  if (table || history.jumps) return most;
  const before = sign * valueAt(history, table, head, column, Math.max(-parts, mostAt - 1));
  const after = sign * valueAt(history, table, head, column, Math.min(parts, mostAt + 1));
  const curvature = 2 * most - before - after;
  return curvature > 0 ? most + (after - before) ** 2 / (8 * curvature) : most;
}

/**
 * What the modes do to a row at a place between two columns, three columns or more from the ends of the evaluated ones, where it has a
 * kink, which the quintic would round off.
 *
 * @param kink by how much its slope falls there, per column
 */
export function movingAtKink(history: RowHistory, place: number, kink: number): number {
  const from = Math.floor(place);
  quinticWeights(place - from, weightsHere, 0);
  let ramp = 0;
  for (let node = 1; node <= 3; node++) ramp += weightsHere[node + 2]! * (from + node - place);
  return movingBetween(history, from, place, weightsHere, 0) + kink * ramp;
}

function valueAt(
  history: RowHistory,
  table: PositionTable | null,
  head: HeadPositions,
  column: number,
  part: number,
): number {
  const from = part < 0 ? column - 1 : column;
  const eighth = part < 0 ? part + parts : part;
  return interpolated(history, table, head, from, column + part / parts, eighths, 6 * eighth);
}

/** A row at a place between columns `from` and `from + 1`. */
function interpolated(
  history: RowHistory,
  table: PositionTable | null,
  head: HeadPositions,
  from: number,
  place: number,
  weights: Float64Array,
  offset: number,
): number {
  let value = movingBetween(history, from, place, weights, offset);
  if (table) {
    const position = head.start + head.rate * place - table.first;
    const index = Math.floor(position);
    if (index >= 0 && index < table.values.length - 1) {
      const here = table.values[index]!;
      value += here + (table.values[index + 1]! - here) * (position - index);
    }
  }
  return value;
}

function movingBetween(
  history: RowHistory,
  from: number,
  place: number,
  weights: Float64Array,
  offset: number,
): number {
  const { moving } = history;
  let value =
    weights[offset]! * moving[from - 2]! +
    weights[offset + 1]! * moving[from - 1]! +
    weights[offset + 2]! * moving[from]! +
    weights[offset + 3]! * moving[from + 1]! +
    weights[offset + 4]! * moving[from + 2]! +
    weights[offset + 5]! * moving[from + 3]!;
  if (history.jumps) {
    // What jumps is taken out of the samples and put back where it is.
    value += history.jumpingAt(place);
    for (let node = 0; node < 6; node++)
      value -= weights[offset + node]! * history.jumpingAt(from - 2 + node);
  }
  return value;
}
