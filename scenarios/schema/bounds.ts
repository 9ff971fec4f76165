/** How large a scenario may be. Whatever is larger is refused with the bound named, so that one file cannot block a machine. */
export const scenarioBounds = {
  fileBytes: 10_000_000,
  nestingDepth: 32,
  spans: 200,
  segmentsPerSpan: 100,
  /** Rows of the system matrices that lie outside the band; each costs memory and time over the whole deck. */
  coupledSupports: 24,
  tracks: 4,
  frameNodes: 100,
  frameBars: 300,
  trains: 200,
  axlesPerTrain: 2000,
  wagonsPerTrain: 200,
  vehiclesPerTrain: 100,
  damageCases: 500,
  effectsPerCase: 100,
  speeds: 2000,
  irregularityLevels: 100_000,
  boundFactors: 5,
  limitSteps: 20,
  /** Faults listed one by one; the rest is counted. */
  faultsListed: 1000,
} as const;
