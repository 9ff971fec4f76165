import { type BlockArithmetic, crestShare, type ModePair } from './block-arithmetic.js';
import { blockWidth } from './block-size.js';
import { keepForces, numbersOfForces } from './kept-forces.js';
import { type KeptRows, keepRows, numbersOfRows } from './kept-rows.js';
import { hasVectors, type Kernel, startKernel } from './kernel.js';
import { mostTerms, PassageMemory } from './passage-memory.js';
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

/** Two numbers per instruction, in a memory of its own, kept for the thread's passages: one after the other, never nested. */
class VectorArithmetic implements BlockArithmetic {
  private readonly room = new PassageMemory();
  private readonly kernel: Kernel = startKernel(this.room.memory);
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
      this.room.makeRoom(numbersOfForces(forceTables) + numbersOfRows(rows));
    this.picks = null;
    this.forceTables = forceTables;
    this.rows = rows;
    this.room.begin();
    this.keepTables();
  }

  private keepTables(): void {
    const { forceTables, rows } = this;
    const { kept } = this.room;
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

  allocate(length: number): Float64Array {
    return this.room.allocate(length);
  }

  allocateIntegers(length: number): Int32Array {
    return this.room.allocateIntegers(length);
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
    const { weights, sources } = this.room;
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
      this.room.sources.byteOffset,
    );
  }

  screenSets(screen: SetScreen): number {
    const { rowsAt, rows } = this;
    if (!rowsAt) return screenSets(screen, rows);
    const { setTable, setBounds } = rowsAt;
    return this.kernel.screenSets(setTable, setBounds, rows.sets.length, this.room.records.ofSets(screen));
  }

  screenSizes(screen: SizeScreen): number {
    const { rowsAt, rows } = this;
    if (!rowsAt) return screenSizes(screen, rows);
    return this.kernel.screenSizes(
      rowsAt.sets[screen.set]!.record,
      rowsAt.bounds,
      this.room.records.ofSizes(screen),
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
      this.room.records.ofSamples(screen),
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
      this.room.sources.byteOffset,
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

let shared: BlockArithmetic | undefined;

/** The fastest arithmetic of this runtime that holds so many modes; all give the same numbers to the bit. */
export function arithmeticFor(modes: number): BlockArithmetic {
  if (!hasVectors || modes > mostTerms) return new ScalarArithmetic();
  shared ??= new VectorArithmetic();
  return shared;
}
