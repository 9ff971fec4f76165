import type { Support, Viaduct } from '../../../solver/viaduct/model.js';

/** Equal spans of a plausible box girder: 36 m, 15 t/m. */
export function plainViaduct(
  spans: number,
  options: { readonly joints?: boolean; readonly stiffness?: number } = {},
): Viaduct {
  const support = (index: number): Support => ({
    id: `S${index}`,
    stiffness: options.stiffness ?? Number.POSITIVE_INFINITY,
    settlement: 0,
    joint: options.joints ?? false,
    bearing: true,
    upliftResistance: 0,
  });
  return {
    spans: Array.from({ length: spans }, () => ({
      segments: [{ length: 36, massPerLength: 15_000, flexuralRigidity: 1.1e11, shearRigidity: null }],
    })),
    supports: Array.from({ length: spans + 1 }, (_, index) => support(index)),
    track: null,
    dampingRatio: 0.01,
  };
}
