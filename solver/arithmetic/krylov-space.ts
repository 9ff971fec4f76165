import type { BandedFactorisation } from '../matrices/banded-factorisation.js';
import type { NonzeroRows } from '../matrices/nonzero-rows.js';
import { GrowingMemory } from './growing-memory.js';
import { hasVectors } from './kernel.js';
import { type PairRows, packPairs, pairSizes, solvePairs } from './pair-rows.js';

/**
 * The vectors of a Lanczos iteration: those kept so far, one candidate and the mass times it. A = K - shift M is factored; lengths are
 * those of the mass matrix M.
 */
export interface KrylovSpace {
  /** Keeps a vector. */
  push(vector: Float64Array): void;
  /** Makes a vector the candidate. @returns candidate times mass times candidate */
  start(vector: Float64Array): number;
  /** Keeps the candidate. */
  keep(): void;
  /** The candidate becomes A^-1 times the mass times the one before. */
  solve(): void;
  /** Brings the mass times the candidate up to date. @returns candidate times mass times candidate */
  multiply(): number;
  /**
   * Takes out of the candidate what each kept vector has in common with it, four vectors at a time, by the mass times the candidate as it
   * was before.
   *
   * @returns what the vector kept last had in common with it; 0 where none is kept
   */
  project(): number;
  /** The candidate, and the mass times it, times a factor. */
  scale(factor: number): void;
  /** Sums of the vectors from `first` on, each times its weight, one for each set of weights. */
  combine(first: number, weights: readonly Float64Array[]): readonly Float64Array[];
}

/** In plain TypeScript: what the vector kernel does to the bit. */
export class ScalarKrylovSpace implements KrylovSpace {
  private readonly vectors: Float64Array[] = [];
  private readonly padded: Float64Array;
  private readonly candidate: Float64Array;
  private readonly massCandidate: Float64Array;
  private readonly rows: PairRows | null;

  constructor(
    private readonly factorisation: BandedFactorisation,
    private readonly mass: NonzeroRows,
  ) {
    const { pairs, window, entries } = pairSizes(factorisation);
    this.padded = new Float64Array(2 * window + 2 * pairs);
    this.candidate = this.padded.subarray(window, window + mass.size);
    this.massCandidate = new Float64Array(mass.size);
    this.rows = null;
    if (factorisation.border > 0) return;
    const numbers = () => new Float64Array(entries);
    this.rows = {
      pairs,
      window,
      forward: numbers(),
      backward: numbers(),
      pivots: new Float64Array(2 * pairs),
    };
    packPairs(factorisation, this.rows);
  }

  push(vector: Float64Array): void {
    this.vectors.push(Float64Array.from(vector));
  }

  start(vector: Float64Array): number {
    this.candidate.set(vector);
    return this.multiply();
  }

  keep(): void {
    this.push(this.candidate);
  }

  solve(): void {
    this.candidate.set(this.massCandidate);
    if (this.rows) solvePairs(this.rows, this.padded);
    else this.factorisation.solve(this.candidate);
  }

  multiply(): number {
    const { mass, candidate, massCandidate } = this;
    mass.multiply(candidate, massCandidate);
    let along = 0;
    for (let i = 0; i < mass.size; i++) along += candidate[i]! * massCandidate[i]!;
    return along;
  }

  project(): number {
    const { vectors, candidate, massCandidate } = this;
    let k = 0;
    let last = 0;
    for (; k + 3 < vectors.length; k += 4) {
      const group = vectors.slice(k, k + 4);
      const along = group.map((vector) => pairedDot(massCandidate, vector));
      group.forEach((vector, index) => {
        subtractScaled(candidate, vector, along[index]!);
      });
      last = along[3]!;
    }
    for (; k < vectors.length; k++) {
      last = pairedDot(massCandidate, vectors[k]!);
      subtractScaled(candidate, vectors[k]!, last);
    }
    return last;
  }

  scale(factor: number): void {
    for (let i = 0; i < this.mass.size; i++) {
      this.candidate[i]! *= factor;
      this.massCandidate[i]! *= factor;
    }
  }

  combine(first: number, weights: readonly Float64Array[]): readonly Float64Array[] {
    return weights.map((own) => {
      const sum = new Float64Array(this.mass.size);
      own.forEach((weight, k) => {
        const vector = this.vectors[first + k]!;
        for (let i = 0; i < sum.length; i++) sum[i]! += weight * vector[i]!;
      });
      return sum;
    });
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
/** More vectors than a space keeps, with the sums that are made of them. */
const mostVectors = 768;

/** In a memory of its own: the candidate and its mass product, the factors, the mass, then the vectors. Places are in numbers. */
class VectorKrylovSpace implements KrylovSpace {
  private count = 0;
  private readonly size: number;
  private readonly stride: number;
  private readonly pairs: number;
  private readonly window: number;
  private readonly candidateAt: number;
  private readonly massCandidateAt: number;
  private readonly forwardAt: number;
  private readonly backwardAt: number;
  private readonly pivotsAt: number;
  private readonly massValuesAt: number;
  private readonly massStartsAt: number;
  private readonly massColumnsAt: number;
  private readonly vectorsAt: number;

  constructor(
    private readonly memory: GrowingMemory,
    private readonly factorisation: BandedFactorisation,
    mass: NonzeroRows,
  ) {
    const { pairs, window, entries } = pairSizes(factorisation);
    const kept = mass.values.length;
    this.size = mass.size;
    this.stride = 4 * Math.ceil(mass.size / 4);
    this.pairs = pairs;
    this.window = window;
    this.candidateAt = window;
    this.massCandidateAt = this.candidateAt + this.stride + window;
    this.forwardAt = this.massCandidateAt + this.stride;
    this.backwardAt = this.forwardAt + entries;
    this.pivotsAt = this.backwardAt + entries;
    this.massValuesAt = this.pivotsAt + 2 * pairs;
    this.massStartsAt = this.massValuesAt + kept;
    this.massColumnsAt = this.massStartsAt + Math.ceil((mass.size + 1) / 2);
    this.vectorsAt = 2 * Math.ceil((this.massColumnsAt + Math.ceil(kept / 2)) / 2);
    memory.reserve(this.vectorsAt);
    const { numbers } = memory;
    // What stands before the first and behind the last number of a candidate counts in every sum.
    numbers.fill(0, 0, this.forwardAt);
    numbers.set(mass.values, this.massValuesAt);
    const integers = new Uint32Array(numbers.buffer);
    integers.set(mass.starts, 2 * this.massStartsAt);
    for (let k = 0; k < kept; k++) integers[2 * this.massColumnsAt + k] = 8 * mass.columns[k]!;
    if (factorisation.border > 0) return;
    packPairs(factorisation, {
      pairs,
      window,
      forward: numbers.subarray(this.forwardAt, this.backwardAt),
      backward: numbers.subarray(this.backwardAt, this.pivotsAt),
      pivots: numbers.subarray(this.pivotsAt, this.massValuesAt),
    });
  }

  push(vector: Float64Array): void {
    const { memory, stride, size } = this;
    const at = this.nextVector();
    memory.numbers.set(vector, at);
    memory.numbers.fill(0, at + size, at + stride);
  }

  start(vector: Float64Array): number {
    this.memory.numbers.set(vector, this.candidateAt);
    return this.multiply();
  }

  keep(): void {
    const { candidateAt, stride } = this;
    const at = this.nextVector();
    this.memory.numbers.copyWithin(at, candidateAt, candidateAt + stride);
  }

  solve(): void {
    const { memory, candidateAt, massCandidateAt, size, factorisation } = this;
    const { numbers, kernel } = memory;
    numbers.copyWithin(candidateAt, massCandidateAt, massCandidateAt + size);
    if (factorisation.border > 0) {
      factorisation.solve(numbers.subarray(candidateAt, candidateAt + size));
      return;
    }
    const { forwardAt, backwardAt, pivotsAt, pairs, window } = this;
    kernel.solvePairs(8 * forwardAt, 8 * backwardAt, 8 * pivotsAt, 8 * candidateAt, pairs, window);
  }

  multiply(): number {
    const { massStartsAt, massColumnsAt, massValuesAt, candidateAt, massCandidateAt, size } = this;
    return this.memory.kernel.multiplyRows(
      8 * massStartsAt,
      8 * massColumnsAt,
      8 * massValuesAt,
      8 * candidateAt,
      8 * massCandidateAt,
      size,
    );
  }

  project(): number {
    const { memory, candidateAt, massCandidateAt, vectorsAt, count, stride } = this;
    return memory.kernel.project(8 * candidateAt, 8 * massCandidateAt, 8 * vectorsAt, count, stride);
  }

  scale(factor: number): void {
    const { kernel } = this.memory;
    kernel.scale(8 * this.candidateAt, this.stride, factor);
    kernel.scale(8 * this.massCandidateAt, this.stride, factor);
  }

  combine(first: number, weights: readonly Float64Array[]): readonly Float64Array[] {
    const { stride, size, vectorsAt, count, memory } = this;
    const each = count - first;
    const sumsAt = vectorsAt + count * stride;
    const weightsAt = sumsAt + weights.length * stride;
    memory.reserve(weightsAt + weights.length * each);
    const { numbers, kernel } = memory;
    weights.forEach((own, index) => {
      numbers.set(own, weightsAt + index * each);
    });
    const from = 8 * (vectorsAt + first * stride);
    kernel.combine(8 * sumsAt, from, 8 * weightsAt, each, stride, weights.length);
    return weights.map((_, index) => numbers.slice(sumsAt + index * stride, sumsAt + index * stride + size));
  }

  private nextVector(): number {
    const at = this.vectorsAt + this.count * this.stride;
    this.memory.reserve(at + this.stride);
    this.count++;
    return at;
  }
}

/** For the thread's spaces, one after the other. */
let memory: GrowingMemory | undefined;

/**
 * A space with nothing kept, by the fastest arithmetic of this runtime; the one before it is given up. All give the same numbers to the bit.
 */
export function krylovSpace(factorisation: BandedFactorisation, mass: NonzeroRows): KrylovSpace {
  const numbers = mass.size * mostVectors + 2 * mass.values.length + 2 * pairSizes(factorisation).entries;
  if (!hasVectors || numbers >= mostNumbers) return new ScalarKrylovSpace(factorisation, mass);
  memory ??= new GrowingMemory();
  return new VectorKrylovSpace(memory, factorisation, mass);
}
