/**
 * One-sided density of the vertical irregularity of a rail over the wave number in rad/m:
 *
 *     S(W) = strength upper^2 / ((W^2 + lower^2) (W^2 + upper^2)),   m^2 per rad/m,
 *
 * the common form of the spectra of the Federal Railroad Administration (lower 0) and of the German ones; W in rad/m.
 */
export interface RailSpectrum {
  /** m rad */
  readonly strength: number;
  /** rad/m */
  readonly lower: number;
  /** rad/m */
  readonly upper: number;
}

/** m^2 per rad/m at a wave number in rad/m, above 0. */
export function railDensity({ strength, lower, upper }: RailSpectrum, waveNumber: number): number {
  const square = waveNumber * waveNumber;
  return (strength * upper * upper) / ((square + lower * lower) * (square + upper * upper));
}
