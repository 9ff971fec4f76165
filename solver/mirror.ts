import type { LoadedLine } from './influence-lines.js';
import { type LineSamples, largestSize, reversedLine } from './line-samples.js';
import type { Peaks } from './peaks.js';
import type { ResponseRow } from './response-rows.js';

/**
 * A viaduct that is its own mirror image along x: a train that runs over it in reverse does to each row what it does forwards to the row's
 * image, so that one direction tells both.
 */
export interface Mirror {
  /** The image of each row; the image of the image is the row. */
  readonly images: Int32Array;
  /** 1 where a row and its image have the same sign, -1 where what is positive in one is negative in the other. */
  readonly signs: Int8Array;
}

/** All that a passage is made from; see the dynamic model. */
interface Mirrored {
  readonly line: LoadedLine;
  readonly modeLines: readonly Float64Array[];
  readonly rows: readonly ResponseRow[];
  readonly modalValues: Float64Array;
  readonly influenceLines: readonly (LineSamples | null)[];
  readonly passageLines: readonly (LineSamples | null)[];
}

/** Share of the largest value of its kind by which two numbers that mirror each other may differ: what the modes are solved to, and more. */
const tolerance = 1e-6;

/**
 * Compares modes under the wheels, influence lines and the rows' values in the modes with their mirror images. Null where anything differs
 * from its image, and where modes of one frequency are neither symmetric nor antisymmetric.
 */
export function mirrorOf(model: Mirrored): Mirror | null {
  const parities = modeParities(model);
  return parities && rowImages(model, parities);
}

/** Peaks of the passage in the opposite direction. */
export function mirroredPeaks({ images, signs }: Mirror, { largest, smallest }: Peaks): Peaks {
  const of = (same: Float64Array, opposite: Float64Array) =>
    largest.map((_, row) => (signs[row]! > 0 ? same[images[row]!]! : -opposite[images[row]!]!));
  return { largest: of(largest, smallest), smallest: of(smallest, largest) };
}

/** 1 for symmetric, -1 for antisymmetric modes; null where one is neither. */
function modeParities({ modeLines }: Mirrored): Int8Array | null {
  const parities = new Int8Array(modeLines.length);
  for (const [mode, line] of modeLines.entries()) {
    const level = tolerance * largestSize(line);
    const image = Float64Array.from(line).reverse();
    const sign = signBetween(line, image, level);
    if (sign === 0) return null;
    parities[mode] = sign;
  }
  return parities;
}

function rowImages(model: Mirrored, parities: Int8Array): Mirror | null {
  const { rows, modalValues } = model;
  const { from, step, count: samples } = model.line;
  const count = parities.length;
  const valuesOf = (row: number) => modalValues.subarray(row * count, (row + 1) * count);
  const scales = new Map<string, { modal: number; line: number }>();
  rows.forEach(({ quantity }, row) => {
    const scale = scales.get(quantity) ?? { modal: 0, line: 0 };
    scales.set(quantity, {
      modal: Math.max(scale.modal, largestSize(valuesOf(row))),
      line: Math.max(scale.line, ...linesOf(model, row).map(({ values }) => largestSize(values))),
    });
  });
  /** 1 or -1; 0 where the rows are not each other's images. */
  const signOfPair = (row: number, other: number): -1 | 0 | 1 => {
    const { modal, line } = scales.get(rows[row]!.quantity)!;
    const image = valuesOf(other).map((value, mode) => parities[mode]! * value);
    const sign = signBetween(valuesOf(row), image, tolerance * modal);
    if (sign === 0) return 0;
    const others = linesOf(model, other);
    const same = linesOf(model, row).every((own, index) =>
      agree(own, reversedLine(others[index]!, samples), sign, tolerance * line),
    );
    return same ? sign : 0;
  };

  const middle = from + ((samples - 1) * step) / 2;
  const byPlace = new Map<string, number[]>();
  rows.forEach((row, index) => {
    const place = placeOf(row, row.x - middle);
    const there = byPlace.get(place);
    if (there) there.push(index);
    else byPlace.set(place, [index]);
  });
  const images = new Int32Array(rows.length).fill(-1);
  const signs = new Int8Array(rows.length);
  for (const [row, own] of rows.entries()) {
    if (images[row] !== -1) continue;
    const candidates = byPlace.get(placeOf(own, middle - own.x)) ?? [];
    const other = candidates.find((one) => images[one] === -1 && signOfPair(row, one) !== 0);
    if (other === undefined) return null;
    const sign = signOfPair(row, other);
    images[row] = other;
    images[other] = row;
    signs[row] = sign;
    signs[other] = sign;
  }
  return { images, signs };
}

/** 1 or -1 where one is the other times that, to within a level; 0 where it is neither. Two that are nothing are equal. */
function signBetween(a: Float64Array, b: Float64Array, level: number): -1 | 0 | 1 {
  if (a.every((value, k) => Math.abs(value - b[k]!) <= level)) return 1;
  return a.every((value, k) => Math.abs(value + b[k]!) <= level) ? -1 : 0;
}

function linesOf({ influenceLines, passageLines }: Mirrored, row: number): LineSamples[] {
  const line = influenceLines[row];
  const passage = passageLines[row];
  return line && passage ? (line === passage ? [line] : [line, passage]) : [];
}

/** Whether one line is the other times a sign, to within a level. */
function agree(a: LineSamples, b: LineSamples, sign: number, level: number): boolean {
  const end = Math.max(a.first + a.values.length, b.first + b.values.length);
  for (let k = Math.min(a.first, b.first); k < end; k++)
    if (Math.abs((a.values[k - a.first] ?? 0) - sign * (b.values[k - b.first] ?? 0)) > level) return false;
  return true;
}

function placeOf({ quantity, track, bearing }: ResponseRow, fromMiddle: number): string {
  // Adding 0 takes the sign off a negative zero.
  return `${quantity} ${track} ${bearing} ${Math.round(fromMiddle * 1e5) + 0}`;
}
