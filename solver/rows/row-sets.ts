import type { RowSet } from '../arithmetic/row-set.js';
import type { Modes } from '../modes/eigen.js';
import { type LocalCoordinates, localValues } from '../modes/local-coordinates.js';
import { isAcceleration, type ResponseRow } from './response-rows.js';

/** A mode that moves no row of a set by more than this share of what the set's strongest mode does is left out. */
const negligible = 1e-7;

/**
 * Splits the rows into sets.
 *
 * @param modalValues rows x modes as in the dynamic model
 * @param local what the sets' `modes` and `values` refer to instead of the modes themselves
 */
export function buildRowSets(
  rows: readonly ResponseRow[],
  modes: Modes,
  modalValues: Float64Array,
  local: LocalCoordinates | null = null,
): readonly RowSet[] {
  const members = new Map<string, number[]>();
  for (let r = 0; r < rows.length; r++) {
    const row = rows[r]!;
    const key = `${row.quantity} ${row.span} ${row.x < 0}`;
    const list = members.get(key);
    if (list) list.push(r);
    else members.set(key, [r]);
  }
  const sets: RowSet[] = [];
  for (const list of members.values())
    sets.push(rowSetOf(rows, middleFirst(list), modes, modalValues, local));
  return sets;
}

/** Where the middle is worst, the rest need not be looked at. */
function middleFirst(members: readonly number[]): Int32Array {
  const count = members.length;
  const middle = (count - 1) >> 1;
  const side = count % 2 === 0 ? 1 : -1;
  const ordered = new Int32Array(count);
  for (let i = 0; i < count; i++)
    ordered[i] = members[middle + (i % 2 === 0 ? -side : side) * ((i + 1) >> 1)]!;
  return ordered;
}

function rowSetOf(
  rows: readonly ResponseRow[],
  members: Int32Array,
  modes: Modes,
  modalValues: Float64Array,
  local: LocalCoordinates | null,
): RowSet {
  const count = modes.shapes.length;
  const acceleration = isAcceleration(rows[members[0]!]!.quantity);
  const moved: Float64Array[] = [];
  const most = new Float64Array(count);
  for (const r of members) {
    const own = new Float64Array(count);
    for (let j = 0; j < count; j++) {
      const w = modes.angularFrequencies[j]!;
      own[j] = (acceleration ? 1 : 1 / (w * w)) * modalValues[r * count + j]!;
    }
    const combined = local ? new Float64Array(count) : own;
    if (local) localValues(local, own, combined);
    for (let j = 0; j < count; j++) most[j] = Math.max(most[j]!, Math.abs(combined[j]!));
    moved.push(combined);
  }
  const threshold = negligible * Math.max(...most);
  const used: number[] = [];
  const mostOfUsed: number[] = [];
  for (let j = 0; j < count; j++) {
    if (most[j]! <= threshold) continue;
    used.push(j);
    mostOfUsed.push(most[j]!);
  }
  const values = new Float64Array(members.length * used.length);
  for (let i = 0; i < members.length; i++)
    for (let k = 0; k < used.length; k++) values[i * used.length + k] = moved[i]![used[k]!]!;
  return {
    ...{ acceleration, rows: members, modes: Int32Array.from(used), values },
    most: Float64Array.from(mostOfUsed),
  };
}
