import type { AxleRow } from './load-model.js';

/** HSLM-B is for simply supported spans below 7 m: EN 1991-2:2003 Table 6.4 (mem). */
export const hslmBLongestSpan = 7;

const axleLoad_kN = 170;
/** Figure 6.14 has 10 to 20 forces by span; its steps are not carried here, and the most are the slow side. */
const forces = 20;

/**
 * Spacing of the forces by span: EN 1991-2:2003 6.4.6.1.1(6), Figure 6.14 (mem). The steps of the figure are remembered
 * coarsely (2.5 m for the shortest spans rising to 6 m at 6.5 m); compare with the standard before HSLM-B decides anything.
 */
const spacingBySpan: readonly { readonly spanUpTo_m: number; readonly spacing_m: number }[] = [
  { spanUpTo_m: 1.6, spacing_m: 2.5 },
  { spanUpTo_m: 2.5, spacing_m: 3 },
  { spanUpTo_m: 2.8, spacing_m: 3.5 },
  { spanUpTo_m: 3.2, spacing_m: 4 },
  { spanUpTo_m: 3.8, spacing_m: 4.5 },
  { spanUpTo_m: 4.5, spacing_m: 5 },
  { spanUpTo_m: 5.5, spacing_m: 5.5 },
  { spanUpTo_m: Number.POSITIVE_INFINITY, spacing_m: 6 },
];

/** Equal forces at equal distances, chosen by the shortest span (m). */
export function hslmB(shortestSpan: number): AxleRow {
  const spacing = spacingBySpan.find((step) => shortestSpan <= step.spanUpTo_m)!.spacing_m;
  return {
    positions: Array.from({ length: forces }, (_, index) => index * spacing),
    loads: Array.from({ length: forces }, () => axleLoad_kN * 1e3),
    source: 'EN 1991-2:2003 Figure 6.13 and 6.14 (mem; steps of 6.14 coarse, number of forces the largest)',
  };
}
