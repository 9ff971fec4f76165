import type { StaticLoadModelId } from './load-model-ids.js';

interface StaticModel {
  readonly axles: readonly { readonly at_m: number; readonly load_kN: number }[];
  /** `length_m` null: unlimited, only where it is adverse. `gap_m`: to the outer axles, or between the blocks. */
  readonly lineLoads: readonly {
    readonly load_kN_per_m: number;
    readonly length_m: number | null;
    readonly gap_m: number;
  }[];
  readonly source: string;
}

/**
 * Up to which speed effects times a dynamic factor stand for a train that runs: above it resonance has to be looked for, which takes a
 * moving train.
 */
export const staticUpTo = { speed_kmh: 200, source: 'EN 1991-2:2003 6.4.4, Figure 6.9 (mem)' };

/** Load models LM71, SW/0 and SW/2, characteristic values without the factor alpha. */
export const staticLoadModels: Readonly<Record<StaticLoadModelId, StaticModel>> = {
  LM71: {
    axles: [0, 1.6, 3.2, 4.8].map((at_m) => ({ at_m, load_kN: 250 })),
    lineLoads: [{ load_kN_per_m: 80, length_m: null, gap_m: 0.8 }],
    source: 'EN 1991-2:2003 6.3.2, Figure 6.1 (mem)',
  },
  'SW/0': {
    axles: [],
    lineLoads: [
      { load_kN_per_m: 133, length_m: 15, gap_m: 5.3 },
      { load_kN_per_m: 133, length_m: 15, gap_m: 5.3 },
    ],
    source: 'EN 1991-2:2003 6.3.3, Table 6.1 (mem)',
  },
  'SW/2': {
    axles: [],
    lineLoads: [
      { load_kN_per_m: 150, length_m: 25, gap_m: 7 },
      { load_kN_per_m: 150, length_m: 25, gap_m: 7 },
    ],
    source: 'EN 1991-2:2003 6.3.3, Table 6.1 (mem)',
  },
};
