import type { HeadPositions, RowHistory } from './row-history.js';
import type { PositionTable } from './train-tables.js';

const parts = 8;
/** Weights of samples -2 .. 3 in the quintic through them, at each eighth between samples 0 and 1 (Lagrange). */
const quintic = Float64Array.from({ length: 6 * (parts + 1) }, (_, index) => {
  const at = Math.floor(index / 6) / parts;
  const node = (index % 6) - 2;
  let weight = 1;
  for (let other = -2; other <= 3; other++) if (other !== node) weight *= (at - other) / (node - other);
  return weight;
});

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
  if (table) return most;
  const before = sign * valueAt(history, table, head, column, Math.max(-parts, mostAt - 1));
  const after = sign * valueAt(history, table, head, column, Math.min(parts, mostAt + 1));
  const curvature = 2 * most - before - after;
  return curvature > 0 ? most + (after - before) ** 2 / (8 * curvature) : most;
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
  let value = 0;
  for (let node = 0; node < 6; node++)
    value += quintic[6 * eighth + node]! * history.moving[from - 2 + node]!;
  if (table) {
    const position = head.start + head.rate * (column + part / parts) - table.first;
    const index = Math.floor(position);
    if (index >= 0 && index < table.values.length - 1) {
      const here = table.values[index]!;
      value += here + (table.values[index + 1]! - here) * (position - index);
    }
  }
  return value;
}
