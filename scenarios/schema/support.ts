import { z } from 'zod';
import { scenarioBounds } from './bounds.js';
import { identifier } from './identifier.js';
import { givenInThousands, givenInThousandths, type Quantity, quantity } from './quantity.js';

/** Tension of a support line; how large it may be is checked across fields. */
export const upliftResistance: Quantity = {
  unit: 'kN',
  min: 0,
  max: 1e5,
  usual: [0, 1e5],
  slips: [givenInThousandths('N')],
};

/** A support line. Without a stiffness it is rigid in the vertical. */
const support = z.strictObject({
  id: identifier,
  stiffness_N_per_m: quantity({
    unit: 'N/m',
    min: 1e5,
    max: 1e13,
    usual: [1e7, 1e13],
    slips: [givenInThousands('kN/m'), { factor: 1e6, givenIn: 'kN/mm' }, givenInThousandths('mN/m')],
  }).optional(),
  joint: z.boolean().default(false),
  /** Between two bearings either side of the axis; absent: one bearing under it. */
  bearing_spread_m: quantity({
    unit: 'm',
    min: 0.3,
    max: 20,
    usual: [0.5, 15],
    slips: [givenInThousandths('mm')],
  }).optional(),
  uplift_resistance_kN: quantity(upliftResistance).default(0),
});

/** One more than spans (checked across fields). */
export const supports = z
  .array(support)
  .min(2)
  .max(scenarioBounds.spans + 1);
