import { coefficientsPerMode } from '../recurrence.js';
import { type BlockArithmetic, crestShare, type ModePair } from './block-arithmetic.js';
import { blockWidth } from './block-size.js';
import { hasVectors, type Kernel, startKernel } from './kernel.js';
import { ScalarArithmetic, samplePairOfTables } from './scalar-arithmetic.js';

/** Terms of a sum at most. */
const mostTerms = 8192;
/** Numbers: enough for the histories of so many modes; what is not touched takes no memory. */
const historyNumbers = 512 * mostTerms;
/** Numbers of force tables that are kept; trains on longer lines are sampled from where their tables are. */
const tableNumbers = 4 * 2 ** 20;
const pageBytes = 65_536;

/** Two numbers per instruction, in a memory of its own, kept for the thread's passages: one after the other, never nested. */
class VectorArithmetic implements BlockArithmetic {
  private readonly buffer: ArrayBuffer;
  private readonly kernel: Kernel;
  private readonly weights: Float64Array;
  private readonly sources: Uint32Array;
  private readonly start: number;
  private next: number;
  private readonly tables: Float64Array;
  private tablesEnd = 0;
  /** Where in `tables` those of a train are; null where they are not. */
  private places = new WeakMap<readonly Float64Array[], number | null>();
  private forceTables: readonly Float64Array[] = [];
  private place: number | null = null;
  private picks: Int32Array | null = null;
  private count = 0;
  private source: Float64Array | null = null;
  private width = 0;

  constructor() {
    const pages = Math.ceil((8 * (historyNumbers + tableNumbers)) / pageBytes);
    const memory = new WebAssembly.Memory({ initial: pages, maximum: pages });
    this.buffer = memory.buffer;
    this.kernel = startKernel(memory);
    this.weights = new Float64Array(this.buffer, 0, mostTerms);
    this.sources = new Uint32Array(this.buffer, 8 * mostTerms, mostTerms);
    this.tables = new Float64Array(this.buffer, 12 * mostTerms, tableNumbers);
    this.start = this.tables.byteOffset + this.tables.byteLength;
    this.next = this.start;
  }

  begin(forceTables: readonly Float64Array[]): void {
    this.next = this.start;
    this.forceTables = forceTables;
    let place = this.places.get(forceTables);
    if (place === undefined) {
      place = this.keepTables(forceTables);
      this.places.set(forceTables, place);
    }
    this.place = place;
  }

  /** Copies tables, two modes in turn, and tells where they begin; null where they are too long. */
  private keepTables(forceTables: readonly Float64Array[]): number | null {
    const { tables } = this;
    const length = forceTables[0]!.length;
    const needed = 2 * length * Math.ceil(forceTables.length / 2);
    if (needed > tableNumbers) return null;
    if (this.tablesEnd + needed > tableNumbers) {
      this.places = new WeakMap();
      this.tablesEnd = 0;
    }
    const place = this.tablesEnd;
    this.tablesEnd += needed;
    tables.fill(0, place, this.tablesEnd);
    forceTables.forEach((table, mode) => {
      const at = place + 2 * length * Math.floor(mode / 2) + (mode % 2);
      for (let k = 0; k < length; k++) tables[at + 2 * k] = table[k]!;
    });
    return place;
  }

  sampleForces(first: number, indices: Int32Array, weights: Float64Array, forces: Float64Array): void {
    const { place, forceTables } = this;
    if (place === null) {
      samplePairOfTables(forceTables, first, indices, weights, forces);
      return;
    }
    const table = this.tables.byteOffset + 8 * (place + first * forceTables[0]!.length);
    this.kernel.sampleForces(table, indices.byteOffset, weights.byteOffset, forces.byteOffset);
  }

  allocateIntegers(length: number): Int32Array {
    const { byteOffset } = this.allocate(Math.ceil(length / 2));
    return new Int32Array(this.buffer, byteOffset, length);
  }

  allocate(length: number): Float64Array {
    const array = new Float64Array(this.buffer, this.next, length).fill(0);
    // Two numbers beyond the end may be read, and a vector be written half beside it.
    this.next += 8 * (length + 2);
    return array;
  }

  contract(
    values: Float64Array,
    offset: number,
    picks: Int32Array,
    count: number,
    source: Float64Array,
    width: number,
    target: Float64Array,
    from: number,
    to: number,
  ): void {
    const { weights, sources } = this;
    for (let k = 0; k < count; k++) weights[k] = values[offset + k]!;
    // Row after row takes the same sources.
    if (this.picks !== picks || this.count !== count || this.source !== source || this.width !== width) {
      this.picks = picks;
      this.count = count;
      this.source = source;
      this.width = width;
      const base = source.byteOffset;
      for (let k = 0; k < count; k++) sources[k] = base + 8 * width * picks[k]!;
    }
    this.kernel.contract(0, 8 * mostTerms, count, target.byteOffset, from, to);
  }

  advance(modes: ModePair, first: number): void {
    this.kernel.advance(
      modes.coefficients.byteOffset + 8 * coefficientsPerMode * first,
      modes.state.byteOffset + 16 * first,
      modes.twoZeta.byteOffset + 8 * first,
      modes.forces.byteOffset,
      modes.adds ? modes.added.byteOffset : 0,
      modes.departed,
      modes.departure.byteOffset + 8 * blockWidth * first,
      modes.acceleration.byteOffset + 8 * blockWidth * first,
    );
  }

  bound(histories: Float64Array, count: number, sizes: Float64Array, bends: Float64Array): void {
    this.kernel.bound(histories.byteOffset, count, sizes.byteOffset, bends.byteOffset);
  }

  nextCrest(
    history: Float64Array,
    from: number,
    to: number,
    upper: number,
    lower: number,
    margin: number,
  ): number {
    return this.kernel.nextCrest(history.byteOffset, from, to, upper, lower, margin, crestShare);
  }
}

let shared: BlockArithmetic | undefined;

/** The fastest arithmetic of this runtime that holds so many modes; all give the same numbers to the bit. */
export function arithmeticFor(modes: number): BlockArithmetic {
  if (!hasVectors || modes > mostTerms) return new ScalarArithmetic();
  shared ??= new VectorArithmetic();
  return shared;
}
