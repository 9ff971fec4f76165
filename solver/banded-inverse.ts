import type { BandedFactorisation } from './banded-factorisation.js';
import { BandedMatrix } from './banded-matrix.js';

/**
 * The entries of the inverse that lie within the band, without the rest of it: K. Takahashi, J. Fagan and M.-S. Chin, Formation of a
 * sparse bus impedance matrix, 8th PICA Conference, 1973 (mem). Cost: size x band^2.
 */
export function inverseWithinBand(factorisation: BandedFactorisation): BandedMatrix {
  const { size, halfBandwidth, factor } = factorisation;
  const width = halfBandwidth + 1;
  const found = new BandedMatrix(size, halfBandwidth);
  const { data } = found;
  const entry = (i: number, j: number) =>
    i >= j ? data[i * width + j - i + halfBandwidth]! : data[j * width + i - j + halfBandwidth]!;
  for (let i = size - 1; i >= 0; i--) {
    const last = Math.min(size - 1, i + halfBandwidth);
    for (let j = last; j >= i; j--) {
      let sum = i === j ? 1 / factor[i * width + halfBandwidth]! : 0;
      for (let k = i + 1; k <= last; k++) sum -= factor[k * width + i - k + halfBandwidth]! * entry(k, j);
      data[j * width + i - j + halfBandwidth] = sum;
    }
  }
  return found;
}
