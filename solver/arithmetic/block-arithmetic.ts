import type { contract } from './contract.js';
import type { RowEvaluation } from './row-evaluation.js';
import type { RowScreen, ScreenedRows, SetScreen, SizeScreen } from './row-screen.js';

/** What a passage computes over the columns of a block, on arrays from `allocate` of the same arithmetic. */
export interface BlockArithmetic {
  /**
   * Starts a passage: arrays of the one before are given up.
   *
   * @param forceTables generalised force of each mode at equal steps; the same array for passages of the same train
   * @param rows sets the same for passages of the same model, static bounds of the same train
   */
  begin(forceTables: readonly Float64Array[], rows: ScreenedRows): void;

  /** Zeros; good until `begin` is called again. */
  allocate(length: number): Float64Array;
  allocateIntegers(length: number): Int32Array;

  /**
   * Writes the forces on modes `first` and `first + 1` at every sample of a block, in turn; 0 for a mode that is not there.
   *
   * @param indices place in the tables of the first of the four values that each sample lies between
   * @param weights of the four; allocated here, as is `indices`
   */
  sampleForces(first: number, indices: Int32Array, weights: Float64Array, forces: Float64Array): void;

  /** Of arrays allocated here, but for the values and picks. */
  readonly contract: typeof contract;

  /**
   * Histories of coordinates that replace `count` modes from `first` on: target[first + i] = sum over k of rotation[i count + k]
   * source[first + k], for every column of a block; terms in the order of `contract`.
   *
   * @param rotation allocated here, as are the histories
   */
  rotate(
    rotation: Float64Array,
    first: number,
    count: number,
    source: Float64Array,
    target: Float64Array,
  ): void;

  /** See screenSets in row-screen.ts. */
  screenSets(screen: SetScreen): number;

  /** See screenSizes in row-screen.ts. */
  screenSizes(screen: SizeScreen): number;

  /** See screenSamples in row-screen.ts. */
  screenSamples(screen: RowScreen, found: number): number;

  /** See evaluateRow in row-evaluation.ts. */
  evaluateRow(row: RowEvaluation, from: number, to: number): void;

  /** Advances modes `first` and `first + 1` by a block. */
  advance(modes: ModePair, first: number): void;

  /** Largest size and largest second difference of each of `count` histories of `blockWidth` columns. */
  bound(histories: Float64Array, count: number, sizes: Float64Array, bends: Float64Array): void;

  /**
   * The first column from `from` to `to` that is a local maximum or minimum of a history and whose crest, wherever it lies within half
   * a column, may come above `upper` or below `lower` when it is higher by the share `margin` of itself than a parabola tells; more
   * than `to` where there is none.
   */
  nextCrest(
    history: Float64Array,
    from: number,
    to: number,
    upper: number,
    lower: number,
    margin: number,
  ): number;
}

/** Two modes and where their histories go; see recurrence.ts for the step. */
export interface ModePair {
  /** `coefficientsPerMode` of every mode. */
  readonly coefficients: Float64Array;
  /** g = w^2 q and u = w q' of every mode. */
  readonly state: Float64Array;
  /** 2 zeta of every mode. */
  readonly twoZeta: Float64Array;
  /** `forceSamples` of both modes of the pair in turn: before the block, at its start, at the end of each step, and after. */
  readonly forces: Float64Array;
  /** What is added to g and u at the end of each step: g of the first, u of the first, g and u of the second; read if `adds`. */
  readonly added: Float64Array;
  adds: boolean;
  /** 1 where the departure from statics is written, 0 for w^2 q itself. */
  readonly departed: number;
  /** modes x `blockWidth`. */
  readonly departure: Float64Array;
  readonly acceleration: Float64Array;
}

/**
 * A parabola through a local maximum and its neighbours, which lie no further apart than its second difference, rises above it by
 * (after - before)^2 / (8 curvature), at most an eighth of the second difference; a hair more for rounding.
 */
export const crestShare = 0.125 * (1 + 1e-7);
