import { z } from 'zod';
import { scenarioBounds } from './bounds.js';
import { quantity } from './quantity.js';

const factors = () =>
  z
    .array(quantity({ unit: '- (factor on the nominal value)', min: 0.5, max: 2 }))
    .min(1)
    .max(scenarioBounds.boundFactors)
    .default([1]);

/** Factors on nominal properties; the worst combination decides. The nominal value 1 is always among them. */
const decisionBounds = z.strictObject({
  stiffness_factors: factors(),
  mass_factors: factors(),
  damping_factors: factors(),
});

export const decision = z.strictObject({
  overspeed_factor: quantity({
    unit: '-',
    min: 1,
    max: 2,
    slips: [{ factor: 0.01, givenIn: 'per cent' }],
  }).default(1.2),
  round_down_to_kmh: quantity({ unit: 'km/h', min: 1, max: 50 }).default(5),
  bounds: decisionBounds.prefault({}),
});
