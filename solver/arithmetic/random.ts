/** Reproducible numbers in (-1, 1): the 32-bit generator of G. Marsaglia, Xorshift RNGs, Journal of Statistical Software 8(14), 2003. */
export class SeededRandom {
  private state: number;

  constructor(seed: number) {
    this.state = seed | 0 || 1;
  }

  next(): number {
    let { state } = this;
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    this.state = state;
    return (state >>> 0) / 2147483648 - 1;
  }

  /** So many of them. */
  numbers(count: number): Float64Array {
    const values = new Float64Array(count);
    for (let i = 0; i < count; i++) values[i] = this.next();
    return values;
  }
}

/** The same generator as a function. */
export function seededRandom(seed: number): () => number {
  const random = new SeededRandom(seed);
  return () => random.next();
}
