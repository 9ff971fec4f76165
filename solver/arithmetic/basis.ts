import { hasVectors, type Kernel, startKernel } from './kernel.js';

/** Vectors of one length that a candidate is made orthogonal to. */
export interface Basis {
  readonly count: number;
  push(vector: Float64Array): void;
  /**
   * Takes out of the candidate what each vector has in common with it, four vectors at a time.
   *
   * @param massCandidate the mass times the candidate as it is before
   */
  project(candidate: Float64Array, massCandidate: Float64Array): void;
  /** Sum of the vectors from `first` on, each times its weight. */
  combine(first: number, weights: Float64Array): Float64Array;
}

/** In plain TypeScript: what the vector kernel does to the bit. */
export class ScalarBasis implements Basis {
  private readonly vectors: Float64Array[] = [];

  get count(): number {
    return this.vectors.length;
  }

  push(vector: Float64Array): void {
    this.vectors.push(Float64Array.from(vector));
  }

  project(candidate: Float64Array, massCandidate: Float64Array): void {
    const { vectors } = this;
    let k = 0;
    for (; k + 3 < vectors.length; k += 4) {
      const group = vectors.slice(k, k + 4);
      const along = group.map((vector) => pairedDot(massCandidate, vector));
      group.forEach((vector, index) => {
        subtractScaled(candidate, vector, along[index]!);
      });
    }
    for (; k < vectors.length; k++)
      subtractScaled(candidate, vectors[k]!, pairedDot(massCandidate, vectors[k]!));
  }

  combine(first: number, weights: Float64Array): Float64Array {
    const sum = new Float64Array(this.vectors[first]!.length);
    weights.forEach((weight, k) => {
      const vector = this.vectors[first + k]!;
      for (let i = 0; i < sum.length; i++) sum[i]! += weight * vector[i]!;
    });
    return sum;
  }
}

/** In four partial sums, as two vectors of two numbers take it. */
function pairedDot(a: Float64Array, b: Float64Array): number {
  const sums = new Float64Array(4);
  for (let i = 0; i < a.length; i++) sums[i & 3]! += a[i]! * b[i]!;
  return sums[0]! + sums[2]! + (sums[1]! + sums[3]!);
}

function subtractScaled(target: Float64Array, source: Float64Array, factor: number): void {
  for (let i = 0; i < target.length; i++) target[i]! -= factor * source[i]!;
}

const pageBytes = 65_536;
/** Numbers; of what one memory can hold, less what a combination needs beside it. */
const mostNumbers = 400e6;
/** Vectors that a basis may grow to. */
const mostVectors = 512;

/** One memory for the thread's bases, one after the other: candidate, its mass product, weights, then the vectors. */
let memory: WebAssembly.Memory | undefined;
let kernel: Kernel | undefined;

class VectorBasis implements Basis {
  count = 0;
  private readonly stride: number;
  private readonly weightsAt: number;
  private readonly vectorsAt: number;
  private numbers: Float64Array;

  constructor(private readonly length: number) {
    memory ??= new WebAssembly.Memory({ initial: 1 });
    kernel ??= startKernel(memory);
    this.stride = 4 * Math.ceil(length / 4);
    this.weightsAt = 2 * this.stride;
    this.vectorsAt = this.weightsAt + mostVectors;
    this.numbers = new Float64Array(memory.buffer);
    this.reserve(this.vectorsAt);
    // What stands behind the last number of a candidate counts in every sum.
    this.numbers.fill(0, 0, this.weightsAt);
  }

  push(vector: Float64Array): void {
    const at = this.vectorsAt + this.count * this.stride;
    this.reserve(at + this.stride);
    this.numbers.set(vector, at);
    this.numbers.fill(0, at + this.length, at + this.stride);
    this.count++;
  }

  project(candidate: Float64Array, massCandidate: Float64Array): void {
    const { numbers, stride, length } = this;
    numbers.set(candidate, 0);
    numbers.set(massCandidate, stride);
    kernel!.project(0, 8 * stride, 8 * this.vectorsAt, this.count, stride);
    candidate.set(numbers.subarray(0, length));
  }

  combine(first: number, weights: Float64Array): Float64Array {
    const { numbers, stride } = this;
    numbers.set(weights, this.weightsAt);
    const vectors = this.vectorsAt + first * stride;
    kernel!.combine(0, 8 * vectors, 8 * this.weightsAt, weights.length, stride);
    return numbers.slice(0, this.length);
  }

  private reserve(count: number): void {
    const missing = 8 * count - this.numbers.byteLength;
    if (missing <= 0) return;
    memory!.grow(Math.ceil(missing / pageBytes));
    this.numbers = new Float64Array(memory!.buffer);
  }
}

/** An empty basis, by the fastest arithmetic of this runtime; the one before it is given up. All give the same numbers to the bit. */
export function emptyBasis(length: number): Basis {
  return hasVectors && length * mostVectors < mostNumbers ? new VectorBasis(length) : new ScalarBasis();
}
