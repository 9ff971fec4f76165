import { GrowingMemory } from './growing-memory.js';
import { hasVectors } from './kernel.js';

/** Vectors of one length that a candidate is made orthogonal to. */
export interface Basis {
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

/** Numbers that one memory can hold, with something to spare. */
const mostNumbers = 400e6;
/** More vectors than a basis takes; as many weights at most. */
const mostVectors = 512;

/** In a memory that holds the candidate, its mass product and weights before the vectors. */
class VectorBasis implements Basis {
  private count = 0;
  private readonly stride: number;
  private readonly weightsAt: number;
  private readonly vectorsAt: number;

  constructor(
    private readonly memory: GrowingMemory,
    private readonly length: number,
  ) {
    this.stride = 4 * Math.ceil(length / 4);
    this.weightsAt = 2 * this.stride;
    this.vectorsAt = this.weightsAt + mostVectors;
    memory.reserve(this.vectorsAt);
    // What stands behind the last number of a candidate counts in every sum.
    memory.numbers.fill(0, 0, this.weightsAt);
  }

  push(vector: Float64Array): void {
    const { memory, stride, length } = this;
    const at = this.vectorsAt + this.count * stride;
    memory.reserve(at + stride);
    memory.numbers.set(vector, at);
    memory.numbers.fill(0, at + length, at + stride);
    this.count++;
  }

  project(candidate: Float64Array, massCandidate: Float64Array): void {
    const { stride, length } = this;
    const { numbers, kernel } = this.memory;
    numbers.set(candidate, 0);
    numbers.set(massCandidate, stride);
    kernel.project(0, 8 * stride, 8 * this.vectorsAt, this.count, stride);
    candidate.set(numbers.subarray(0, length));
  }

  combine(first: number, weights: Float64Array): Float64Array {
    const { stride, weightsAt } = this;
    const { numbers, kernel } = this.memory;
    numbers.set(weights, weightsAt);
    kernel.combine(0, 8 * (this.vectorsAt + first * stride), 8 * weightsAt, weights.length, stride);
    return numbers.slice(0, this.length);
  }
}

/** For the thread's bases, one after the other. */
let memory: GrowingMemory | undefined;

/** An empty basis, by the fastest arithmetic of this runtime; the one before it is given up. All give the same numbers to the bit. */
export function emptyBasis(length: number): Basis {
  if (!hasVectors || length * mostVectors >= mostNumbers) return new ScalarBasis();
  memory ??= new GrowingMemory();
  return new VectorBasis(memory, length);
}
