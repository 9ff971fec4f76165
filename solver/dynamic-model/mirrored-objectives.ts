import type { Objective, ObjectiveIndex } from '../peaks/objective.js';
import type { Peaks } from '../peaks/peaks.js';
import { type Mirror, mirroredPeaks } from './mirror.js';

/** Weights that differ by less than this share of themselves, and offsets of the largest offset, are the same. */
const tolerance = 1e-9;

/**
 * Which objective is the mirror image of each: what one reaches as a train runs forwards, the other reaches in reverse. Null where one
 * has no image, for rows that mirror each other may have limits that do not.
 */
export function mirroredObjectives(mirror: Mirror, { objectives }: ObjectiveIndex): Int32Array | null {
  const candidates = new Map<string, number[]>();
  const own = objectives.map(entriesOf);
  own.forEach((entries, index) => {
    const key = rowsOf(entries);
    const there = candidates.get(key);
    if (there) there.push(index);
    else candidates.set(key, [index]);
  });
  const images = new Int32Array(objectives.length);
  for (const [index, entries] of own.entries()) {
    const image = entries
      .map(({ row, weight, offset }) => ({
        row: mirror.images[row]!,
        weight: mirror.signs[row]! * weight,
        offset,
      }))
      .sort(inOrder);
    const other = candidates.get(rowsOf(image))?.find((one) => areSame(own[one]!, image));
    if (other === undefined) return null;
    images[index] = other;
  }
  return images;
}

/**
 * Peaks in both directions, from those of a passage forwards that found the worst of every objective: the image of a row stands in where
 * it takes an objective further than the row itself.
 *
 * @param images of the objectives
 */
export function withReverse(peaks: Peaks, mirror: Mirror, index: ObjectiveIndex, images: Int32Array): Peaks {
  const reached = index.reached(peaks);
  const largest = peaks.largest.slice();
  const smallest = peaks.smallest.slice();
  const reverse = mirroredPeaks(mirror, peaks);
  index.objectives.forEach(({ rows }, objective) => {
    if (reached[images[objective]!]! <= reached[objective]!) return;
    for (const row of rows) {
      largest[row] = Math.max(largest[row]!, reverse.largest[row]!);
      smallest[row] = Math.min(smallest[row]!, reverse.smallest[row]!);
    }
  });
  return { largest, smallest };
}

interface Entry {
  readonly row: number;
  readonly weight: number;
  readonly offset: number;
}

function entriesOf({ rows, weights, offsets }: Objective): readonly Entry[] {
  return Array.from(rows, (row, i) => ({ row, weight: weights[i]!, offset: offsets[i]! })).sort(inOrder);
}

function inOrder(a: Entry, b: Entry): number {
  return a.row - b.row || a.weight - b.weight || a.offset - b.offset;
}

function rowsOf(entries: readonly Entry[]): string {
  return entries.map(({ row, weight }) => (weight > 0 ? row : -1 - row)).join();
}

function areSame(a: readonly Entry[], b: readonly Entry[]): boolean {
  const largestOffset = a.reduce((most, { offset }) => Math.max(most, Math.abs(offset)), 0);
  return a.every(
    ({ weight, offset }, i) =>
      Math.abs(weight - b[i]!.weight) <= tolerance * Math.abs(weight) &&
      Math.abs(offset - b[i]!.offset) <= tolerance * largestOffset,
  );
}
