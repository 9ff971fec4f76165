/** Reproducible numbers in (-1, 1): the 32-bit generator of G. Marsaglia, Xorshift RNGs, Journal of Statistical Software 8(14), 2003. */
export function seededRandom(seed: number): () => number {
  let state = seed | 0 || 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2147483648 - 1;
  };
}
