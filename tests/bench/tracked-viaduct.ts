import type { Viaduct } from '../../solver/viaduct/model.js';

/** Spans of 36 m, in units of three continuous ones, on piers with springs, with the slab track of the demo; invented. */
export function trackedViaduct(spans: number): Viaduct {
  return {
    spans: Array.from({ length: spans }, () => ({
      segments: [{ length: 36, massPerLength: 16_000, flexuralRigidity: 1.45e11, shearRigidity: null }],
    })),
    supports: Array.from({ length: spans + 1 }, (_, index) => ({
      id: `S${index}`,
      stiffness: 3e9,
      settlement: 0,
      joint: index > 0 && index < spans && index % 3 === 0,
      bearing: true,
      upliftResistance: 0,
    })),
    track: {
      rail: { massPerLength: 120, flexuralRigidity: 12.76e6 },
      fastening: { spacing: 0.65, stiffness: 80e6, damping: 60e3 },
      slab: { massPerLength: 1600, flexuralRigidity: 2.3e8, panelLength: null },
      bedding: { stiffnessPerLength: 6e7, dampingPerLength: 5e4 },
      losses: [],
    },
    dampingRatio: 0.01,
  };
}
