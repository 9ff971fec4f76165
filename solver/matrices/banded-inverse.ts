import type { BandedFactorisation } from './banded-factorisation.js';
import { BandedMatrix } from './banded-matrix.js';

/**
 * The entries of the inverse that lie within the band and the border, without the rest of it: K. Takahashi, J. Fagan and M.-S. Chin,
 * Formation of a sparse bus impedance matrix, 8th PICA Conference, 1973 (mem). Cost: size x (band + border)^2.
 */
export function inverseWithinBand(factorisation: BandedFactorisation): BandedMatrix {
  const { size, halfBandwidth, border, factor, fullFactor } = factorisation;
  const width = halfBandwidth + 1;
  const inner = size - border;
  const found = new BandedMatrix(size, halfBandwidth, border);
  const { data, full } = found;
  const entry = (i: number, j: number) => {
    const row = Math.max(i, j);
    const column = Math.min(i, j);
    return row < inner
      ? data[row * width + column - row + halfBandwidth]!
      : full[(row - inner) * size + column]!;
  };
  for (let i = size - 1; i >= 0; i--) {
    const last = i < inner ? Math.min(inner - 1, i + halfBandwidth) : i;
    const beyond = Math.max(inner, i + 1);
    const value = (j: number) => {
      const pivot = i < inner ? factor[i * width + halfBandwidth]! : fullFactor[(i - inner) * size + i]!;
      let sum = i === j ? 1 / pivot : 0;
      for (let k = i + 1; k <= last; k++) sum -= factor[k * width + i - k + halfBandwidth]! * entry(k, j);
      for (let k = beyond; k < size; k++) sum -= fullFactor[(k - inner) * size + i]! * entry(k, j);
      return sum;
    };
    for (let j = size - 1; j >= beyond; j--) full[(j - inner) * size + i] = value(j);
    for (let j = last; j >= i; j--) {
      if (i < inner) data[j * width + i - j + halfBandwidth] = value(j);
      else full[(j - inner) * size + i] = value(j);
    }
  }
  return found;
}
