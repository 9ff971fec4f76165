import type { Modes } from '../modes/eigen.js';
import { isAcceleration, type ResponseRow } from '../rows/response-rows.js';
import type { ForceBreaks } from './force-breaks.js';

/** What happens to rows as a unit load crosses the breaks of the line; breaks that do nothing to a row are left out. */
export interface RowBreaks {
  /** Entries of row r stand from starts[r] up to starts[r + 1], by ascending break. */
  readonly starts: Int32Array;
  readonly breaks: Int32Array;
  /** Of accelerations, which follow the force on the modes: by how much they jump as the load moves towards +x; 0 of other rows. */
  readonly jumps: Float64Array;
  /** Per metre: by how much the slope of the modes' part changes; of accelerations q'', of other rows the statics p / w^2. */
  readonly kinks: Float64Array;
}

/** With a track nothing breaks. */
export const noRowBreaks = (rows: number): RowBreaks => ({
  starts: new Int32Array(rows + 1),
  breaks: new Int32Array(0),
  jumps: new Float64Array(0),
  kinks: new Float64Array(0),
});

/** @param modalValues rows x modes */
export function findRowBreaks(
  rows: readonly ResponseRow[],
  modalValues: Float64Array,
  modes: Modes,
  { jumps, slopes, positions }: ForceBreaks,
): RowBreaks {
  const count = modes.shapes.length;
  const places = positions.length;
  const starts = new Int32Array(rows.length + 1);
  const found: { breaks: number[]; jumps: number[]; kinks: number[] } = { breaks: [], jumps: [], kinks: [] };
  const jump = new Float64Array(places);
  const kink = new Float64Array(places);
  for (let row = 0; row < rows.length; row++) {
    const acceleration = isAcceleration(rows[row]!.quantity);
    jump.fill(0);
    kink.fill(0);
    for (let j = 0; j < count; j++) {
      const value = modalValues[row * count + j]!;
      if (value === 0) continue;
      const factor = acceleration ? value : value / modes.angularFrequencies[j]! ** 2;
      for (let index = 0; index < places; index++) {
        kink[index]! += factor * slopes[j * places + index]!;
        if (acceleration) jump[index]! += factor * jumps[j * places + index]!;
      }
    }
    for (let index = 0; index < places; index++) {
      if (jump[index] === 0 && kink[index] === 0) continue;
      found.breaks.push(index);
      found.jumps.push(jump[index]!);
      found.kinks.push(kink[index]!);
    }
    starts[row + 1] = found.breaks.length;
  }
  return {
    starts,
    breaks: Int32Array.from(found.breaks),
    jumps: Float64Array.from(found.jumps),
    kinks: Float64Array.from(found.kinks),
  };
}

/** Entry of a row for a break; -1 where the break does nothing to it. */
export function entryOf({ starts, breaks }: RowBreaks, row: number, index: number): number {
  for (let entry = starts[row]!; entry < starts[row + 1]!; entry++) if (breaks[entry] === index) return entry;
  return -1;
}
