import type { RowSet } from '../row-set.js';
import type { StretchBounds } from '../stretch-bounds.js';
import type { KeptNumbers } from './kept-numbers.js';
import type { ScreenedRows } from './row-screen.js';

/** Byte addresses of one row set in the kernel's memory. */
interface KeptSet {
  readonly values: number;
  readonly modes: number;
  readonly modeCount: number;
  readonly rows: number;
  readonly most: number;
}

/** Row sets and their static parts in the kernel's memory. */
export interface KeptRows {
  readonly sets: readonly KeptSet[];
  /** Four integers per set: addresses of `modes` and `most`, how many modes, and 1 for accelerations. */
  readonly setTable: number;
  /** Four integers per set: addresses of the highs and lows of its bounds, first stretch and how many; zeros without any. */
  readonly setBounds: number;
  /** Four integers per row of the model: the same of its own bounds. */
  readonly bounds: number;
}

/** Null where there is no room. */
export function keepRows(kept: KeptNumbers, { sets, statics, setBounds }: ScreenedRows): KeptRows | null {
  const setsAt = keepSets(kept, sets);
  const boundsOfSets = keepBounds(kept, setBounds);
  const bounds = keepBounds(kept, statics);
  if (!setsAt || boundsOfSets === null || bounds === null) return null;
  return { ...setsAt, setBounds: boundsOfSets, bounds };
}

/** Numbers that so many integers fill; a pair more may be read. */
const roomFor = (integers: number) => Math.ceil(integers / 2) + 1;

function keepSets(kept: KeptNumbers, sets: readonly RowSet[]): Pick<KeptRows, 'sets' | 'setTable'> | null {
  const lengthOf = ({ values, modes, rows, most }: RowSet) =>
    values.length + 2 + roomFor(modes.length) + roomFor(rows.length) + most.length + 2;
  const table = 2 * sets.length;
  const placesFrom = (place: number) => {
    let at = place + 8 * table;
    return sets.map((set): KeptSet => {
      const values = at;
      const modes = values + 8 * (set.values.length + 2);
      const rows = modes + 8 * roomFor(set.modes.length);
      const most = rows + 8 * roomFor(set.rows.length);
      at += 8 * lengthOf(set);
      return { values, modes, modeCount: set.modes.length, rows, most };
    });
  };
  const length = sets.reduce((sum, set) => sum + lengthOf(set), table);
  const place = kept.place(sets, length, ({ buffer, byteOffset }) => {
    const entries = new Uint32Array(buffer, byteOffset, 2 * table);
    placesFrom(byteOffset).forEach(({ values, modes, rows, most }, index) => {
      const set = sets[index]!;
      new Float64Array(buffer, values, set.values.length).set(set.values);
      new Int32Array(buffer, modes, set.modes.length).set(set.modes);
      new Int32Array(buffer, rows, set.rows.length).set(set.rows);
      new Float64Array(buffer, most, set.most.length).set(set.most);
      entries.set([modes, most, set.modes.length, set.acceleration ? 1 : 0], 4 * index);
    });
  });
  return place === null ? null : { sets: placesFrom(place), setTable: place };
}

function keepBounds(kept: KeptNumbers, statics: readonly (StretchBounds | null)[]): number | null {
  const table = 2 * statics.length;
  const length = statics.reduce((sum, bounds) => sum + 2 * (bounds?.highs.length ?? 0), table);
  return kept.place(statics, length, (target) => {
    const entries = new Uint32Array(target.buffer, target.byteOffset, 2 * table);
    let at = table;
    statics.forEach((bounds, row) => {
      if (!bounds) return;
      const { highs, lows, firstStretch } = bounds;
      target.set(highs, at);
      target.set(lows, at + highs.length);
      const address = target.byteOffset + 8 * at;
      entries.set([address, address + 8 * highs.length, firstStretch, highs.length], 4 * row);
      at += 2 * highs.length;
    });
  });
}
