/** Dynamic factors for static load models, EN 1991-2:2003 6.4.5.2 (mem). */
interface DynamicFactor {
  readonly numerator: number;
  readonly constant: number;
  readonly least: number;
  readonly most: number;
  readonly source: string;
}

export const dynamicFactors: Readonly<Record<'phi2' | 'phi3', DynamicFactor>> = {
  phi2: { numerator: 1.44, constant: 0.82, least: 1, most: 1.67, source: 'EN 1991-2:2003 (6.4) (mem)' },
  phi3: { numerator: 2.16, constant: 0.73, least: 1, most: 2, source: 'EN 1991-2:2003 (6.5) (mem)' },
};

/** Subtracted from the square root of the determinant length (m); the same equations. */
const rootOffset = 0.2;

/** The factor for a determinant length in metres. Lengths at or below 0.04 m give the largest value. */
export function dynamicFactor(which: 'phi2' | 'phi3', determinantLength: number): number {
  const { numerator, constant, least, most } = dynamicFactors[which];
  const root = Math.sqrt(determinantLength) - rootOffset;
  return root <= 0 ? most : Math.min(most, Math.max(least, numerator / root + constant));
}

/**
 * The factor for members of the track. Local members have determinant lengths of a few metres whatever the span is, EN 1991-2:2003
 * Table 6.2 (mem), and none is given for a slab or rails over a hollow: the largest value of the formula, on the slow side.
 */
export function localDynamicFactor(which: 'phi2' | 'phi3'): number {
  return dynamicFactors[which].most;
}

/** Factor on the mean span for n continuous spans: EN 1991-2:2003 Table 6.2 case 5.2 (mem). */
const continuity = [1, 1.2, 1.3, 1.4, 1.5];

/**
 * Determinant length of a deck, m: per continuous unit (spans between joints) the mean span times 1, 1.2, 1.3, 1.4, 1.5 for
 * 1, 2, 3, 4, 5 and more spans, at least the longest span; of all units the smallest, which gives the largest factor.
 */
export function determinantLength(units: readonly (readonly number[])[]): number {
  const lengths = units.map((spans) => {
    const mean = spans.reduce((sum, one) => sum + one, 0) / spans.length;
    return Math.max(mean * continuity[Math.min(spans.length, continuity.length) - 1]!, ...spans);
  });
  return Math.min(...lengths);
}
