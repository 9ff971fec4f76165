/** Frequencies in Hz and quality factors of a vertical weighting: band limits, acceleration-velocity transition, upward step, gain. */
export interface FrequencyWeighting {
  readonly highPass: number;
  readonly lowPass: number;
  readonly transition: { readonly zero: number; readonly pole: number; readonly quality: number };
  readonly step: {
    readonly lower: number;
    readonly lowerQuality: number;
    readonly upper: number;
    readonly upperQuality: number;
  };
  readonly gain: number;
}

/** Seat, vertical: ISO 2631-1:1997 Annex A, Table A.1 (mem). */
export const weightingWk: FrequencyWeighting = {
  highPass: 0.4,
  lowPass: 100,
  transition: { zero: 12.5, pole: 12.5, quality: 0.63 },
  step: { lower: 2.37, lowerQuality: 0.91, upper: 3.35, upperQuality: 0.91 },
  gain: 1,
};

/** Floor, vertical, for rail vehicles: EN 12299:2009 Annex C and ISO 2631-4:2001 Annex A, gain from ISO 8041:2005 (mem). */
export const weightingWb: FrequencyWeighting = {
  highPass: 0.4,
  lowPass: 100,
  transition: { zero: 16, pole: 16, quality: 0.55 },
  step: { lower: 2.5, lowerQuality: 0.9, upper: 4, upperQuality: 0.95 },
  gain: 1.024,
};

/** A complex number. */
export interface Complex {
  readonly real: number;
  readonly imaginary: number;
}

/** Transfer function at a frequency in Hz, from acceleration to weighted acceleration; 0 at 0 Hz. */
export function weightingAt(weighting: FrequencyWeighting, frequency: number): Complex {
  const { highPass, lowPass, transition, step, gain } = weighting;
  const butterworth = Math.SQRT1_2;
  // Each factor is a ratio of polynomials 1 + i f / (Q f0) - (f / f0)^2 and the like.
  const second = (corner: number, quality: number): Complex => ({
    real: 1 - (frequency / corner) ** 2,
    imaginary: frequency / (quality * corner),
  });
  const numerator = product(
    { real: -((frequency / highPass) ** 2), imaginary: 0 },
    product({ real: 1, imaginary: frequency / transition.zero }, second(step.lower, step.lowerQuality)),
  );
  const denominator = product(
    product(second(highPass, butterworth), second(lowPass, butterworth)),
    product(second(transition.pole, transition.quality), second(step.upper, step.upperQuality)),
  );
  const size = denominator.real ** 2 + denominator.imaginary ** 2;
  const ratio = product(numerator, { real: denominator.real, imaginary: -denominator.imaginary });
  const scale = (gain * (step.lower / step.upper) ** 2) / size;
  return { real: ratio.real * scale, imaginary: ratio.imaginary * scale };
}

/** Weighting factor |H| at a frequency in Hz. */
export function weightingFactor(weighting: FrequencyWeighting, frequency: number): number {
  const { real, imaginary } = weightingAt(weighting, frequency);
  return Math.hypot(real, imaginary);
}

function product(a: Complex, b: Complex): Complex {
  return {
    real: a.real * b.real - a.imaginary * b.imaginary,
    imaginary: a.real * b.imaginary + a.imaginary * b.real,
  };
}
