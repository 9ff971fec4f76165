import type { DeckMaterial } from '../schema/deck.js';

interface DampingRow {
  /** Damping ratio for spans of `fromSpan_m` and more. */
  readonly ratio: number;
  /** Added per metre that the span is shorter. */
  readonly perMetreShorter: number;
  readonly fromSpan_m: number;
  readonly source: string;
}

const source = 'EN 1991-2:2003 Table 6.6, lower limits (mem)';

/** Lower bounds of structural damping for design. */
export const dampingTable: Readonly<Record<DeckMaterial, DampingRow>> = {
  steel: { ratio: 0.005, perMetreShorter: 0.00125, fromSpan_m: 20, source },
  composite: { ratio: 0.005, perMetreShorter: 0.00125, fromSpan_m: 20, source },
  'prestressed-concrete': { ratio: 0.01, perMetreShorter: 0.0007, fromSpan_m: 20, source },
  'reinforced-concrete': { ratio: 0.015, perMetreShorter: 0.0007, fromSpan_m: 20, source },
};

/** Damping ratio of a deck: that of its longest span, which has the lowest. Spans in metres. */
export function dampingRatio(material: DeckMaterial, spans: readonly number[]): number {
  const { ratio, perMetreShorter, fromSpan_m } = dampingTable[material];
  return ratio + perMetreShorter * Math.max(0, fromSpan_m - Math.max(...spans));
}
