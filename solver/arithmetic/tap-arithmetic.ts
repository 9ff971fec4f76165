import { GrowingMemory } from './growing-memory.js';
import { hasVectors } from './kernel.js';

/** Adds shifted copies of one function to another; see superpose.ts. */
export interface TapArithmetic {
  /** Starts a sum from `values`, of copies of source[from, to) with `tapPadding` zeros before and after. */
  begin(values: Float64Array, source: Float64Array, from: number, to: number): void;
  /** values[target + i] += a source[from + i] + b source[from + i + 1] for i < count; all within the arrays. */
  addTwoTaps(target: number, from: number, count: number, a: number, b: number): void;
  /** values[target + i] += a source[from + i] + b source[from + i + 1] + (c source[from + i + 2] + d source[from + i + 3]). */
  addFourTaps(target: number, from: number, count: number, a: number, b: number, c: number, d: number): void;
  /** Writes the sum to `values`. */
  end(values: Float64Array): void;
}

/** As many zeros as four taps reach beyond either end. */
export const tapPadding = 3;

/** In plain TypeScript: what the vector kernel does to the bit, a number at a time. */
export class ScalarTaps implements TapArithmetic {
  private values: Float64Array = new Float64Array(0);
  private source: Float64Array = new Float64Array(0);

  begin(values: Float64Array, source: Float64Array, from: number, to: number): void {
    this.values = values;
    this.source = new Float64Array(to - from + 2 * tapPadding);
    this.source.set(source.subarray(from, to), tapPadding);
  }

  addTwoTaps(target: number, from: number, count: number, a: number, b: number): void {
    const { values, source } = this;
    for (let i = 0; i < count; i++) values[target + i]! += a * source[from + i]! + b * source[from + i + 1]!;
  }

  addFourTaps(target: number, from: number, count: number, a: number, b: number, c: number, d: number): void {
    const { values, source } = this;
    for (let i = 0; i < count; i++) {
      const k = from + i;
      values[target + i]! += a * source[k]! + b * source[k + 1]! + (c * source[k + 2]! + d * source[k + 3]!);
    }
  }

  end(): void {
    // The sum was taken in place.
  }
}

/** Two numbers per instruction, on copies in a memory of its own that grows with the longest sum. */
class VectorTaps implements TapArithmetic {
  private readonly memory = new GrowingMemory();
  private sourceAt = 0;

  begin(values: Float64Array, source: Float64Array, from: number, to: number): void {
    const start = values.length + tapPadding;
    const end = start + to - from;
    this.sourceAt = values.length;
    this.memory.reserve(end + tapPadding);
    const { numbers } = this.memory;
    numbers.set(values, 0);
    numbers.fill(0, values.length, start);
    numbers.set(source.subarray(from, to), start);
    numbers.fill(0, end, end + tapPadding);
  }

  addTwoTaps(target: number, from: number, count: number, a: number, b: number): void {
    this.memory.kernel.addTwoTaps(8 * target, 8 * (this.sourceAt + from), count, a, b);
  }

  addFourTaps(target: number, from: number, count: number, a: number, b: number, c: number, d: number): void {
    this.memory.kernel.addFourTaps(8 * target, 8 * (this.sourceAt + from), count, a, b, c, d);
  }

  end(values: Float64Array): void {
    values.set(this.memory.numbers.subarray(0, values.length));
  }
}

let shared: TapArithmetic | undefined;

/** The fastest arithmetic of this runtime, one sum at a time; all give the same numbers to the bit. */
export function tapArithmetic(): TapArithmetic {
  shared ??= hasVectors ? new VectorTaps() : new ScalarTaps();
  return shared;
}
