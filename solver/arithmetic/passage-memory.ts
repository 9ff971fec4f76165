import { KeptNumbers } from './kept-numbers.js';
import { recordBytes, ScreenRecords } from './screen-records.js';

/** Terms of a sum at most. */
export const mostTerms = 8192;
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

/** The kernel's memory for passages: terms of a sum, records of screens, what is kept from passage to passage, then the arrays of one passage. */
export class PassageMemory {
  readonly memory = new WebAssembly.Memory({ initial: pagesFor(keptAtFirst) });
  private buffer = this.memory.buffer;
  /** Of the terms of a sum. */
  weights = new Float64Array(this.buffer, 0, mostTerms);
  /** Byte addresses of the terms. */
  sources = new Uint32Array(this.buffer, 8 * mostTerms, mostTerms);
  kept = new KeptNumbers(new Float64Array(this.buffer, keptFrom, keptAtFirst));
  /** Of the screens of this passage. */
  records = this.newRecords();
  private keptCount = keptAtFirst;
  private next = 0;

  /** Makes room for so many numbers to keep, if it can be had: what was kept before is gone where there was not enough. */
  makeRoom(numbers: number): void {
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

  /** Gives up the arrays and records of the passage before. */
  begin(): void {
    this.next = keptFrom + 8 * this.keptCount;
    this.records = this.newRecords();
  }

  /** Zeros; good until `begin` is called again. */
  allocate(length: number): Float64Array {
    const array = new Float64Array(this.buffer, this.next, length).fill(0);
    // Two numbers beyond the end may be read, and a vector be written half beside it.
    this.next += 8 * (length + 2);
    return array;
  }

  /** The same of integers. */
  allocateIntegers(length: number): Int32Array {
    const { byteOffset } = this.allocate(Math.ceil(length / 2));
    return new Int32Array(this.buffer, byteOffset, length);
  }

  private newRecords(): ScreenRecords {
    const { buffer, weights, sources } = this;
    return new ScreenRecords(buffer, recordsFrom, {
      weights: weights.byteOffset,
      sources: sources.byteOffset,
    });
  }
}
