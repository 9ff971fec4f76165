import type { Hits, RowScreen, SetScreen, SizeScreen } from './row-screen.js';

/** Bytes that the records take. */
export const recordBytes = 3 * 64;

/** Room in the kernel's memory, by byte address. */
export interface KernelRoom {
  /** For a number per mode. */
  readonly weights: number;
  /** For an address per mode. */
  readonly sources: number;
}

/**
 * Where the arrays of screens are, as records of addresses that the kernel reads, fields in the order of assembly/records.ts: written as
 * a screen is asked about for the first time. What changes from block to block is not among them.
 */
export class ScreenRecords {
  private readonly forSets: Uint32Array;
  private readonly forSizes: Uint32Array;
  private readonly forSamples: Uint32Array;
  private setScreen: SetScreen | null = null;
  private sizeScreen: SizeScreen | null = null;
  private rowScreen: RowScreen | null = null;

  /** @param at byte address of `recordBytes` that are free */
  constructor(
    buffer: ArrayBuffer,
    at: number,
    private readonly room: KernelRoom,
  ) {
    const length = recordBytes / 12;
    this.forSets = new Uint32Array(buffer, at, length);
    this.forSizes = new Uint32Array(buffer, at + 4 * length, length);
    this.forSamples = new Uint32Array(buffer, at + 8 * length, length);
  }

  /** Byte address of what `screenSets` reads. */
  ofSets(screen: SetScreen): number {
    if (screen !== this.setScreen) {
      this.setScreen = screen;
      this.forSets.set([
        ...addressesOfHits(screen),
        screen.departureMost.byteOffset,
        screen.accelerationMost.byteOffset,
        screen.leastUpper.byteOffset,
        screen.greatestLower.byteOffset,
        screen.stretches.byteOffset,
        screen.stretches.length - 1,
      ]);
    }
    return this.forSets.byteOffset;
  }

  /** Byte address of what `screenSizes` reads. */
  ofSizes(screen: SizeScreen): number {
    if (screen !== this.sizeScreen) {
      this.sizeScreen = screen;
      this.forSizes.set([
        ...addressesOfHits(screen),
        screen.members.byteOffset,
        screen.upper.byteOffset,
        screen.lower.byteOffset,
        screen.stretches.byteOffset,
        screen.stretches.length - 1,
        this.room.weights,
      ]);
    }
    return this.forSizes.byteOffset;
  }

  /** Byte address of what `screenSamples` reads. */
  ofSamples(screen: RowScreen): number {
    if (screen !== this.rowScreen) {
      this.rowScreen = screen;
      this.forSamples.set([
        ...addressesOfHits(screen),
        screen.upper.byteOffset,
        screen.lower.byteOffset,
        screen.stretches.byteOffset,
        screen.chosen.byteOffset,
        screen.samples.byteOffset,
        screen.firstColumn,
        screen.history.byteOffset,
        screen.from.byteOffset,
        screen.to.byteOffset,
        this.room.weights,
        this.room.sources,
      ]);
    }
    return this.forSamples.byteOffset;
  }
}

function addressesOfHits({ hits, highs, lows, tops, bottoms }: Hits): readonly number[] {
  return [hits.byteOffset, highs.byteOffset, lows.byteOffset, tops.byteOffset, bottoms.byteOffset];
}
