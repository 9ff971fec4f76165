import type { KeptNumbers } from './kept-numbers.js';

/** How many `keepForces` takes: an odd table stands beside nothing. */
export const numbersOfForces = (tables: readonly Float64Array[]) =>
  2 * tables[0]!.length * Math.ceil(tables.length / 2);

/** Keeps force tables two modes in turn; byte address, null where there is no room. */
export function keepForces(kept: KeptNumbers, tables: readonly Float64Array[]): number | null {
  const length = tables[0]!.length;
  return kept.place(tables, numbersOfForces(tables), (target) => interleave(tables, length, target));
}

function interleave(tables: readonly Float64Array[], length: number, target: Float64Array): void {
  for (let mode = 0; mode < tables.length; mode++) {
    const table = tables[mode]!;
    const at = 2 * length * Math.floor(mode / 2) + (mode % 2);
    for (let k = 0; k < length; k++) target[at + 2 * k] = table[k]!;
  }
}
