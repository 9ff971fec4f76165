import { type BlockArithmetic, crestShare, type ModePair } from './block-arithmetic.js';
import { blockSteps, blockWidth, forceSamples, seam } from './block-size.js';
import { contract } from './contract.js';
import { coefficientsPerMode } from './recurrence.js';
import { evaluateRow, type RowEvaluation } from './row-evaluation.js';
import {
  type RowScreen,
  type ScreenedRows,
  type SetScreen,
  type SizeScreen,
  screenSamples,
  screenSets,
  screenSizes,
} from './row-screen.js';

/** In plain TypeScript: what vector-arithmetic.ts does to the bit, a number at a time. */
export class ScalarArithmetic implements BlockArithmetic {
  readonly contract = contract;
  private tables: readonly Float64Array[] = [];
  private rows: ScreenedRows = { sets: [], statics: [], setBounds: [] };

  begin(forceTables: readonly Float64Array[], rows: ScreenedRows): void {
    this.tables = forceTables;
    this.rows = rows;
  }

  allocate(length: number): Float64Array {
    return new Float64Array(length);
  }

  allocateIntegers(length: number): Int32Array {
    return new Int32Array(length);
  }

  sampleForces(first: number, indices: Int32Array, weights: Float64Array, forces: Float64Array): void {
    samplePairOfTables(this.tables, first, indices, weights, forces);
  }

  rotate(
    rotation: Float64Array,
    first: number,
    count: number,
    source: Float64Array,
    target: Float64Array,
  ): void {
    const picks = Int32Array.from({ length: count }, (_, k) => first + k);
    for (let i = 0; i < count; i++) {
      const at = (first + i) * blockWidth;
      const own = target.subarray(at, at + blockWidth);
      contract(rotation, i * count, picks, count, source, blockWidth, own, 0, blockWidth);
    }
  }

  screenSets(screen: SetScreen): number {
    return screenSets(screen, this.rows);
  }

  screenSizes(screen: SizeScreen): number {
    return screenSizes(screen, this.rows);
  }

  screenSamples(screen: RowScreen, found: number): number {
    return screenSamples(screen, found, this.rows);
  }

  evaluateRow(row: RowEvaluation, from: number, to: number): void {
    evaluateRow(row, from, to, this.rows);
  }

  advance(modes: ModePair, first: number): void {
    advanceMode(modes, first, 0);
    advanceMode(modes, first + 1, 1);
  }

  bound(histories: Float64Array, count: number, sizes: Float64Array, bends: Float64Array): void {
    for (let history = 0; history < count; history++) {
      const base = history * blockWidth;
      let before = histories[base]!;
      let here = histories[base + 1]!;
      let size = Math.max(Math.abs(before), Math.abs(here));
      let bend = 0;
      for (let b = base + 2; b < base + blockWidth; b++) {
        const after = histories[b]!;
        size = Math.max(size, Math.abs(after));
        bend = Math.max(bend, Math.abs(before - 2 * here + after));
        before = here;
        here = after;
      }
      sizes[history] = size;
      bends[history] = bend;
    }
  }

  nextCrest(
    history: Float64Array,
    from: number,
    to: number,
    upper: number,
    lower: number,
    margin: number,
  ): number {
    for (let column = from; column <= to; column++) {
      const here = history[column]!;
      const before = history[column - 1]!;
      const after = history[column + 1]!;
      const crest = here + crestShare * (2 * here - before - after);
      const beside = margin * Math.abs(crest);
      if (here >= before && here >= after && crest + beside > upper) return column;
      if (here <= before && here <= after && crest - beside < lower) return column;
    }
    return to + 1;
  }
}

/** See `BlockArithmetic.sampleForces`. */
export function samplePairOfTables(
  tables: readonly Float64Array[],
  first: number,
  indices: Int32Array,
  weights: Float64Array,
  forces: Float64Array,
): void {
  for (let which = 0; which < 2; which++) {
    const table = tables[first + which];
    for (let b = 0; b < forceSamples; b++) {
      const index = indices[b]!;
      const weight = 4 * b;
      forces[2 * b + which] = table
        ? weights[weight]! * table[index]! +
          weights[weight + 1]! * table[index + 1]! +
          weights[weight + 2]! * table[index + 2]! +
          weights[weight + 3]! * table[index + 3]!
        : 0;
    }
  }
}

/** @param which 0 or 1: the place of the mode in its pair */
function advanceMode(modes: ModePair, j: number, which: 0 | 1): void {
  const { coefficients, state, forces, added, adds, departed, departure, acceleration } = modes;
  const twoZeta = modes.twoZeta[j]!;
  const first = j * coefficientsPerMode;
  const a0 = coefficients[first]!;
  const a1 = coefficients[first + 1]!;
  const a2 = coefficients[first + 2]!;
  const a3 = coefficients[first + 3]!;
  const a4 = coefficients[first + 4]!;
  const a5 = coefficients[first + 5]!;
  const b0 = coefficients[first + 6]!;
  const b1 = coefficients[first + 7]!;
  const b2 = coefficients[first + 8]!;
  const b3 = coefficients[first + 9]!;
  const b4 = coefficients[first + 10]!;
  const b5 = coefficients[first + 11]!;
  const base = j * blockWidth;
  departure.copyWithin(base, base + blockSteps, base + blockWidth);
  acceleration.copyWithin(base, base + blockSteps, base + blockWidth);
  const addedG = which * 2 * blockSteps;
  const addedU = addedG + blockSteps;
  let g = state[2 * j]!;
  let u = state[2 * j + 1]!;
  let p0 = forces[which]!;
  let p1 = forces[which + 2]!;
  let p2 = forces[which + 4]!;
  for (let b = 0; b < blockSteps; b++) {
    const p3 = forces[which + 2 * b + 6]!;
    const next = a0 * g + a1 * u + (a2 * p0 + a3 * p1 + (a4 * p2 + a5 * p3));
    u = b0 * g + b1 * u + (b2 * p0 + b3 * p1 + (b4 * p2 + b5 * p3));
    g = next;
    if (adds) {
      g += added[addedG + b]!;
      u += added[addedU + b]!;
    }
    departure[base + seam + b] = g - departed * p2;
    acceleration[base + seam + b] = p2 - g - twoZeta * u;
    p0 = p1;
    p1 = p2;
    p2 = p3;
  }
  state[2 * j] = g;
  state[2 * j + 1] = u;
}
