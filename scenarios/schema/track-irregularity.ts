import { z } from 'zod';
import { railSpectrumNames } from '../library/rail-spectrum-names.js';
import { scenarioBounds } from './bounds.js';
import { identifier } from './identifier.js';
import { givenInThousandths, quantity } from './quantity.js';

const wavelength = () =>
  quantity({ unit: 'm', min: 1, max: 200, usual: [1, 200], slips: [givenInThousandths('mm')] });

/** A seeded sample of a published density. */
const sample = z.strictObject({
  spectrum: z.enum(railSpectrumNames),
  seed: quantity({ unit: '- (seed of the sample)', min: 1, max: 2147483647, integer: true }),
  from_wavelength_m: wavelength().default(3),
  to_wavelength_m: wavelength().default(70),
});

/** A measured profile at equal distances. */
const profile = z.strictObject({
  from_m: quantity({ unit: 'm from the first support', min: -20000, max: 100000, usual: [-5000, 5000] }),
  step_m: quantity({
    unit: 'm',
    min: 0.05,
    max: 1,
    usual: [0.1, 1],
    slips: [givenInThousandths('mm'), { factor: 1e-2, givenIn: 'cm' }],
  }),
  /** Downwards positive. */
  level_mm: z
    .array(
      quantity({
        unit: 'mm',
        min: -200,
        max: 200,
        usual: [-60, 60],
        slips: [{ factor: 1e-3, givenIn: 'micrometres' }],
      }),
    )
    .min(8)
    .max(scenarioBounds.irregularityLevels),
});

/** Vertical irregularity of the rail: a `sample`, a `profile` or, on the command line, a `profile_csv`, exactly one. */
export const trackIrregularity = z.strictObject({
  sample: sample.optional(),
  profile: profile.optional(),
  /** A file beside the scenario, which the command line reads in place of `profile`. */
  profile_csv: identifier.optional(),
});
