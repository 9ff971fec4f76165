import type { StretchBounds } from '../lines/stretch-bounds.js';
import type { KeptNumbers } from './kept-numbers.js';
import type { ScreenedRows } from './row-screen.js';
import type { RowSet } from './row-set.js';

/** Byte addresses of one row set in the kernel's memory. */
interface KeptSet {
  /** Of all that follows: see SetRecord in assembly/records.ts. */
  readonly record: number;
  readonly values: number;
  readonly modes: number;
  readonly modeCount: number;
  readonly rows: number;
  readonly most: number;
}

/** Row sets and their static parts in the kernel's memory. */
export interface KeptRows {
  readonly sets: readonly KeptSet[];
  /** The records of the sets, one after the other. */
  readonly setTable: number;
  /** Bounds of each set: see BoundsRecord in assembly/records.ts; zeros without any. */
  readonly setBounds: number;
  /** The same of each row of the model. */
  readonly bounds: number;
}

/** How many `keepRows` takes. */
export function numbersOfRows({ sets, statics, setBounds }: ScreenedRows): number {
  return numbersOfSets(sets) + numbersOfBounds(statics) + numbersOfBounds(setBounds);
}

/** Null where there is no room. */
export function keepRows(kept: KeptNumbers, { sets, statics, setBounds }: ScreenedRows): KeptRows | null {
  const setsAt = keepSets(kept, sets);
  const boundsOfSets = keepBounds(kept, setBounds);
  const bounds = keepBounds(kept, statics);
  if (!setsAt || boundsOfSets === null || bounds === null) return null;
  return { ...setsAt, setBounds: boundsOfSets, bounds };
}

/** Integers of a set's record, and how many numbers fill as much. */
const recordIntegers = 6;
const recordNumbers = recordIntegers / 2;

/** Numbers that so many integers fill; a pair more may be read. */
const roomFor = (integers: number) => Math.ceil(integers / 2) + 1;

const lengthOf = ({ values, modes, rows, most }: RowSet): number =>
  values.length + 2 + roomFor(modes.length) + roomFor(rows.length) + most.length + 2;

function numbersOfSets(sets: readonly RowSet[]): number {
  let length = recordNumbers * sets.length;
  for (const set of sets) length += lengthOf(set);
  return length;
}

function numbersOfBounds(statics: readonly (StretchBounds | null)[]): number {
  let length = 2 * statics.length;
  for (const bounds of statics) length += 2 * (bounds?.highs.length ?? 0);
  return length;
}

function keepSets(kept: KeptNumbers, sets: readonly RowSet[]): Pick<KeptRows, 'sets' | 'setTable'> | null {
  const place = kept.place(sets, numbersOfSets(sets), (target) => writeSets(sets, target));
  return place === null ? null : { sets: placesOf(sets, place), setTable: place };
}

/** Where each set stands behind the table of them all. */
function placesOf(sets: readonly RowSet[], table: number): KeptSet[] {
  const places: KeptSet[] = [];
  let values = table + 8 * recordNumbers * sets.length;
  for (const [index, set] of sets.entries()) {
    const record = table + 8 * recordNumbers * index;
    const modes = values + 8 * (set.values.length + 2);
    const rows = modes + 8 * roomFor(set.modes.length);
    const most = rows + 8 * roomFor(set.rows.length);
    places.push({ record, values, modes, modeCount: set.modes.length, rows, most });
    values += 8 * lengthOf(set);
  }
  return places;
}

function writeSets(sets: readonly RowSet[], { buffer, byteOffset }: Float64Array): void {
  const entries = new Uint32Array(buffer, byteOffset, recordIntegers * sets.length);
  const places = placesOf(sets, byteOffset);
  for (let index = 0; index < sets.length; index++) {
    const set = sets[index]!;
    const { values, modes, modeCount, rows, most } = places[index]!;
    new Float64Array(buffer, values, set.values.length).set(set.values);
    new Int32Array(buffer, modes, set.modes.length).set(set.modes);
    new Int32Array(buffer, rows, set.rows.length).set(set.rows);
    new Float64Array(buffer, most, set.most.length).set(set.most);
    const acceleration = set.acceleration ? 1 : 0;
    entries.set([values, modes, modeCount, rows, most, acceleration], recordIntegers * index);
  }
}

function keepBounds(kept: KeptNumbers, statics: readonly (StretchBounds | null)[]): number | null {
  return kept.place(statics, numbersOfBounds(statics), (target) => writeBounds(statics, target));
}

function writeBounds(statics: readonly (StretchBounds | null)[], target: Float64Array): void {
  const entries = new Uint32Array(target.buffer, target.byteOffset, 4 * statics.length);
  let at = 2 * statics.length;
  for (let row = 0; row < statics.length; row++) {
    const bounds = statics[row];
    if (!bounds) continue;
    const { highs, lows, firstStretch } = bounds;
    target.set(highs, at);
    target.set(lows, at + highs.length);
    const address = target.byteOffset + 8 * at;
    entries.set([address, address + 8 * highs.length, firstStretch, highs.length], 4 * row);
    at += 2 * highs.length;
  }
}
