import { inverse, Matrix } from 'ml-matrix';
import { type InfluenceLine, jumpAt, reversedInfluence } from '../jumps/influence-jumps.js';
import { type LineSamples, largestSize } from '../lines/line-samples.js';
import type { LoadedLine } from '../lines/loaded-line.js';
import type { Modes } from '../modes/eigen.js';
import type { Peaks } from '../peaks/peaks.js';
import type { ResponseRow } from '../rows/response-rows.js';

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
  readonly modes: Modes;
  readonly dampingRatios: Float64Array;
  readonly modeLines: readonly Float64Array[];
  readonly rows: readonly ResponseRow[];
  readonly modalValues: Float64Array;
  readonly influenceLines: readonly (InfluenceLine | null)[];
  readonly passageLines: readonly (InfluenceLine | null)[];
}

/** Share of the largest value of its kind by which two numbers that mirror each other may differ; modes are found no better. */
const tolerance = 1e-5;
/** Modes whose frequencies differ by less than this share of them may stand for each other: any mixture of them is as good. */
const sameFrequency = 1e-6;
/** No train moves a mode whose deflection under the wheels is less than this share of the largest of all modes. */
const unmoved = 1e-8;

/**
 * Compares modes under the wheels, influence lines and the rows' values in the modes with their mirror images. Null where anything differs
 * from its image.
 */
export function mirrorOf(model: Mirrored): Mirror | null {
  const moved = movedModes(model);
  const reflections = modeReflections(model, moved);
  return reflections && rowImages(model, moved, reflections);
}

/** Peaks of the passage in the opposite direction. */
export function mirroredPeaks({ images, signs }: Mirror, { largest, smallest }: Peaks): Peaks {
  const of = (same: Float64Array, opposite: Float64Array) =>
    largest.map((_, row) => (signs[row]! > 0 ? same[images[row]!]! : -opposite[images[row]!]!));
  return { largest: of(largest, smallest), smallest: of(smallest, largest) };
}

/** What the mirror makes of modes of one frequency: an orthogonal matrix, row by row; 1 or -1 for one that stands alone. */
interface Reflection {
  /** Place of the first of them among the modes that a train moves. */
  readonly first: number;
  readonly size: number;
  readonly matrix: Float64Array;
}

function movedModes({ modeLines }: Mirrored): readonly number[] {
  const level = unmoved * Math.max(...modeLines.map(largestSize));
  return [...modeLines.keys()].filter((mode) => largestSize(modeLines[mode]!) > level);
}

/** Null where the image of a mode is not made of modes of its frequency. */
function modeReflections(
  { modes, dampingRatios, modeLines }: Mirrored,
  moved: readonly number[],
): readonly Reflection[] | null {
  const frequencies = modes.angularFrequencies;
  const areAlike = (mode: number, next: number) =>
    frequencies[next]! - frequencies[mode]! < sameFrequency * frequencies[mode]! &&
    Math.abs(dampingRatios[next]! - dampingRatios[mode]!) <= tolerance * dampingRatios[mode]!;
  const reflections: Reflection[] = [];
  for (let first = 0; first < moved.length; ) {
    let end = first + 1;
    while (end < moved.length && areAlike(moved[end - 1]!, moved[end]!)) end++;
    const matrix = reflectionOf(moved.slice(first, end).map((mode) => modeLines[mode]!));
    if (matrix === null) return null;
    reflections.push({ first, size: end - first, matrix });
    first = end;
  }
  return reflections;
}

/** The matrix that makes the images of some lines out of them; null where there is none, or none that is orthogonal. */
function reflectionOf(lines: readonly Float64Array[]): Float64Array | null {
  const images = lines.map((line) => Float64Array.from(line).reverse());
  const level = tolerance * Math.max(...lines.map(largestSize));
  const [line] = lines;
  if (lines.length === 1) {
    const sign = signBetween(line!, images[0]!, level);
    return sign === 0 ? null : Float64Array.of(sign);
  }
  const products = (some: readonly Float64Array[]) =>
    new Matrix(
      some.map((one) => lines.map((other) => other.reduce((sum, value, k) => sum + value * one[k]!, 0))),
    );
  // By singular values: lines that depend on each other make a matrix that is not orthogonal, and no error.
  const matrix = products(images).mmul(inverse(products(lines), true));
  const turnedBack = matrix.mmul(matrix.transpose()).sub(Matrix.eye(lines.length));
  if (!(turnedBack.abs().max() <= tolerance)) return null;
  const areMade = images.every((image, row) =>
    image.every((value, k) => {
      const made = lines.reduce((sum, other, column) => sum + matrix.get(row, column) * other[k]!, 0);
      return Math.abs(value - made) <= level;
    }),
  );
  return areMade ? Float64Array.from(matrix.to1DArray()) : null;
}

function reflect(values: Float64Array, reflections: readonly Reflection[], image: Float64Array): void {
  for (const { first, size, matrix } of reflections)
    for (let row = 0; row < size; row++) {
      let sum = 0;
      for (let column = 0; column < size; column++)
        sum += matrix[row * size + column]! * values[first + column]!;
      image[first + row] = sum;
    }
}

function rowImages(
  model: Mirrored,
  moved: readonly number[],
  reflections: readonly Reflection[],
): Mirror | null {
  const { rows, modalValues, modeLines } = model;
  const { from, step, count: samples } = model.line;
  const inAllModes = (row: number) =>
    modalValues.subarray(row * modeLines.length, (row + 1) * modeLines.length);
  const values = rows.map((_, row) => Float64Array.from(moved, (mode) => inAllModes(row)[mode]!));
  const scales = new Map<string, { modal: number; line: number }>();
  rows.forEach(({ quantity }, row) => {
    const scale = scales.get(quantity) ?? { modal: 0, line: 0 };
    scales.set(quantity, {
      modal: Math.max(scale.modal, largestSize(inAllModes(row))),
      line: Math.max(scale.line, ...linesOf(model, row).map(({ values }) => largestSize(values))),
    });
  });
  const image = new Float64Array(moved.length);
  /** 1 or -1; 0 where the rows are not each other's images. */
  const signOfPair = (row: number, other: number): -1 | 0 | 1 => {
    const { modal, line } = scales.get(rows[row]!.quantity)!;
    reflect(values[other]!, reflections, image);
    const sign = signBetween(values[row]!, image, tolerance * modal);
    if (sign === 0) return 0;
    const others = linesOf(model, other);
    const same = linesOf(model, row).every((own, index) =>
      agree(own, reversedInfluence(others[index]!, samples), sign, tolerance * line),
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
    for (const other of byPlace.get(placeOf(own, middle - own.x)) ?? []) {
      if (images[other] !== -1) continue;
      const sign = signOfPair(row, other);
      if (sign === 0) continue;
      images[row] = other;
      images[other] = row;
      signs[row] = sign;
      signs[other] = sign;
      break;
    }
    if (images[row] === -1) return null;
  }
  return { images, signs };
}

/** 1 or -1 where one is the other times that, to within a level; 0 where it is neither. Two that are nothing are equal. */
function signBetween(a: Float64Array, b: Float64Array, level: number): -1 | 0 | 1 {
  return isTimes(a, b, 1, level) ? 1 : isTimes(a, b, -1, level) ? -1 : 0;
}

function isTimes(a: Float64Array, b: Float64Array, sign: number, level: number): boolean {
  for (let k = 0; k < a.length; k++) if (Math.abs(a[k]! - sign * b[k]!) > level) return false;
  return true;
}

function linesOf({ influenceLines, passageLines }: Mirrored, row: number): InfluenceLine[] {
  const line = influenceLines[row];
  const passage = passageLines[row];
  return line && passage ? (line === passage ? [line] : [line, passage]) : [];
}

/** Whether one line is the other times a sign, to within a level. */
function agree(a: InfluenceLine, b: InfluenceLine, sign: number, level: number): boolean {
  const from = Math.max(a.first, b.first);
  const to = Math.min(a.first + a.values.length, b.first + b.values.length);
  for (let k = from; k < to; k++)
    if (Math.abs(a.values[k - a.first]! - sign * b.values[k - b.first]!) > level) return false;
  return (
    isNothingOutside(a, from, to, level) &&
    isNothingOutside(b, from, to, level) &&
    jumpAlike(a, b, sign, level) &&
    jumpAlike(b, a, sign, level)
  );
}

/** Whether the second line jumps as the first does times a sign, where the first jumps by more than a level. */
function jumpAlike(a: InfluenceLine, b: InfluenceLine, sign: number, level: number): boolean {
  return a.jumps.every(({ at, before, beyond }) => {
    if (Math.abs(beyond - before) <= level) return true;
    const other = jumpAt(b, at);
    return (
      other !== null &&
      Math.abs(before - sign * other.before) <= level &&
      Math.abs(beyond - sign * other.beyond) <= level
    );
  });
}

function isNothingOutside({ first, values }: LineSamples, from: number, to: number, level: number): boolean {
  const before = values.subarray(0, Math.max(0, from - first));
  const after = values.subarray(Math.max(0, to - first));
  return largestSize(before) <= level && largestSize(after) <= level;
}

function placeOf({ quantity, track, bearing }: ResponseRow, fromMiddle: number): string {
  // Adding 0 takes the sign off a negative zero.
  return `${quantity} ${track} ${bearing} ${Math.round(fromMiddle * 1e5) + 0}`;
}
