import { type Kernel, startKernel } from './kernel.js';

const pageBytes = 65_536;

/** A memory with the kernel on it, which grows with the longest work; what it held stays where it was. */
export class GrowingMemory {
  private readonly memory = new WebAssembly.Memory({ initial: 1 });
  readonly kernel: Kernel = startKernel(this.memory);
  /** All of it; another array after `reserve`. */
  numbers = new Float64Array(this.memory.buffer);

  /** Makes room for so many numbers. */
  reserve(count: number): void {
    const missing = 8 * count - this.numbers.byteLength;
    if (missing <= 0) return;
    this.memory.grow(Math.ceil(missing / pageBytes));
    this.numbers = new Float64Array(this.memory.buffer);
  }
}
