import { type BlockArithmetic, crestShare, type ModePair } from './block-arithmetic.js';
import { blockWidth } from './block-size.js';
import { KeptNumbers } from './kept-numbers.js';
import { type KeptRows, keepRows, numbersOfRows } from './kept-rows.js';
import { hasVectors, type Kernel, startKernel } from './kernel.js';
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
import { ScalarArithmetic, samplePairOfTables } from './scalar-arithmetic.js';
import { recordBytes, ScreenRecords } from './screen-records.js';

/** Terms of a sum at most. */
const mostTerms = 8192;
/** Numbers: enough for the histories of so many modes; what is not touched takes no memory. */
const historyNumbers = 512 * mostTerms;
/** Numbers of tables that are kept from passage to passage, at first and at most: room is made where one train and its rows need more. */
const keptAtFirst = 8 * 2 ** 20;
const keptAtMost = 64 * 2 ** 20;
const pageBytes = 65_536;
/** Byte addresses behind the terms of a sum: of the records of screens, and of what is kept. */
const recordsFrom = 12 * mostTerms;
const keptFrom = recordsFrom + recordBytes;
const pagesFor = (kept: number) => Math.ceil((8 * (historyNumbers + kept)) / pageBytes);

/** Two numbers per instruction, in a memory of its own, kept for the thread's passages: one after the other, never nested. */
class VectorArithmetic implements BlockArithmetic {
  private readonly memory = new WebAssembly.Memory({ initial: pagesFor(keptAtFirst) });
  private readonly kernel: Kernel = startKernel(this.memory);
  private buffer = this.memory.buffer;
  private weights = new Float64Array(this.buffer, 0, mostTerms);
  private sources = new Uint32Array(this.buffer, 8 * mostTerms, mostTerms);
  private keptCount = keptAtFirst;
  private kept = new KeptNumbers(new Float64Array(this.buffer, keptFrom, keptAtFirst));
  private records = this.newRecords();
  private next = 0;
  private forceTables: readonly Float64Array[] = [];
  /** Where they are; null where they are too long. */
  private forcesAt: number | null = null;
  private rows: ScreenedRows = { sets: [], statics: [], setBounds: [] };
  private rowsAt: KeptRows | null = null;
  private picks: Int32Array | null = null;
  private count = 0;
  private source: Float64Array | null = null;
  private width = 0;

  begin(forceTables: readonly Float64Array[], rows: ScreenedRows): void {
    // Passages of the same train have the same tables.
    if (forceTables !== this.forceTables || rows.statics !== this.rows.statics)
      this.makeRoom(numbersOf(forceTables) + numbersOfRows(rows));
    this.picks = null;
    this.forceTables = forceTables;
    this.rows = rows;
    this.next = keptFrom + 8 * this.keptCount;
    this.records = this.newRecords();
    this.keepTables();
  }

  private newRecords(): ScreenRecords {
    const { buffer, weights, sources } = this;
    return new ScreenRecords(buffer, recordsFrom, {
      weights: weights.byteOffset,
      sources: sources.byteOffset,
    });
  }

  /** What was kept before is gone where there was not enough. */
  private makeRoom(numbers: number): void {
    if (numbers <= this.keptCount || numbers > keptAtMost) return;
    try {
      this.memory.grow(pagesFor(numbers) - pagesFor(this.keptCount));
    } catch (error) {
      if (error instanceof RangeError) return;
      throw error;
    }
    this.buffer = this.memory.buffer;
    this.weights = new Float64Array(this.buffer, 0, mostTerms);
    this.sources = new Uint32Array(this.buffer, 8 * mostTerms, mostTerms);
    this.keptCount = numbers;
    this.kept = new KeptNumbers(new Float64Array(this.buffer, keptFrom, numbers));
  }

  private keepTables(): void {
    const { kept, forceTables, rows } = this;
    for (let attempt = 0; attempt < 2; attempt++) {
      const { cleared } = kept;
      this.forcesAt = keepForces(kept, forceTables);
      this.rowsAt = keepRows(kept, rows);
      // The later ones may have cleared the earlier.
      if (kept.cleared === cleared) return;
    }
    // Together they are too long.
    this.rowsAt = null;
    this.forcesAt = keepForces(kept, forceTables);
  }

  sampleForces(first: number, indices: Int32Array, weights: Float64Array, forces: Float64Array): void {
    const { forcesAt, forceTables } = this;
    if (forcesAt === null) {
      samplePairOfTables(forceTables, first, indices, weights, forces);
      return;
    }
    const table = forcesAt + 8 * first * forceTables[0]!.length;
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

  rotate(
    rotation: Float64Array,
    first: number,
    count: number,
    source: Float64Array,
    target: Float64Array,
  ): void {
    // The kernel leaves its own sources behind.
    this.picks = null;
    const at = 8 * blockWidth * first;
    this.kernel.rotate(
      rotation.byteOffset,
      source.byteOffset + at,
      count,
      target.byteOffset + at,
      this.sources.byteOffset,
    );
  }

  screenSets(screen: SetScreen): number {
    const { rowsAt, rows } = this;
    if (!rowsAt) return screenSets(screen, rows);
    const { setTable, setBounds } = rowsAt;
    return this.kernel.screenSets(setTable, setBounds, rows.sets.length, this.records.ofSets(screen));
  }

  screenSizes(screen: SizeScreen): number {
    const { rowsAt, rows } = this;
    if (!rowsAt) return screenSizes(screen, rows);
    return this.kernel.screenSizes(
      rowsAt.sets[screen.set]!.record,
      rowsAt.bounds,
      this.records.ofSizes(screen),
      screen.first,
      screen.count,
      screen.most.byteOffset,
      screen.setHigh,
      screen.setLow,
    );
  }

  screenSamples(screen: RowScreen, found: number): number {
    const { rowsAt, rows } = this;
    if (!rowsAt) return screenSamples(screen, found, rows);
    // The kernel leaves its own sources behind.
    this.picks = null;
    return this.kernel.screenSamples(
      rowsAt.sets[screen.set]!.record,
      rowsAt.bounds,
      this.records.ofSamples(screen),
      found,
      screen.chosenCount,
      screen.columns,
      screen.stride,
      screen.slack,
    );
  }

  evaluateRow(row: RowEvaluation, from: number, to: number): void {
    const { rowsAt, rows } = this;
    if (!rowsAt) {
      evaluateRow(row, from, to, rows);
      return;
    }
    // The kernel leaves its own sources behind.
    this.picks = null;
    const set = rowsAt.sets[row.set]!;
    this.kernel.evaluateRow(
      set.values + 8 * row.member * set.modeCount,
      set.modes,
      set.modeCount,
      row.source.byteOffset,
      this.sources.byteOffset,
      row.moving.byteOffset,
      from,
      to + 1,
    );
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

/** Of force tables, an odd one beside nothing. */
const numbersOf = (tables: readonly Float64Array[]) => 2 * tables[0]!.length * Math.ceil(tables.length / 2);

/** Force tables two modes in turn. */
function keepForces(kept: KeptNumbers, tables: readonly Float64Array[]): number | null {
  const length = tables[0]!.length;
  return kept.place(tables, numbersOf(tables), (target) => interleave(tables, length, target));
}

function interleave(tables: readonly Float64Array[], length: number, target: Float64Array): void {
  for (let mode = 0; mode < tables.length; mode++) {
    const table = tables[mode]!;
    const at = 2 * length * Math.floor(mode / 2) + (mode % 2);
    for (let k = 0; k < length; k++) target[at + 2 * k] = table[k]!;
  }
}

let shared: BlockArithmetic | undefined;

/** The fastest arithmetic of this runtime that holds so many modes; all give the same numbers to the bit. */
export function arithmeticFor(modes: number): BlockArithmetic {
  if (!hasVectors || modes > mostTerms) return new ScalarArithmetic();
  shared ??= new VectorArithmetic();
  return shared;
}
