import { z } from 'zod';
import { scenarioBounds } from './bounds.js';
import { identifier } from './identifier.js';
import { givenInThousandths, type Quantity, quantity } from './quantity.js';

/** Sagging and hogging; how large one may be beside its span is checked across fields. */
export const bendingResistance: Quantity = {
  unit: 'kNm',
  min: 10,
  max: 5e6,
  usual: [10, 5e6],
  slips: [givenInThousandths('N m')],
};
const moment = () => quantity(bendingResistance);

/** Shear of a span and compression of a support; how large one may be is checked across fields. */
export const forceResistance: Quantity = {
  unit: 'kN',
  min: 10,
  max: 1e6,
  usual: [10, 1e6],
  slips: [givenInThousandths('N')],
};
const force = () => quantity(forceResistance);

const spanKeys = {
  sagging_kNm: moment().optional(),
  hogging_kNm: moment().optional(),
  shear_kN: force().optional(),
};

/** The strongest slab, 5 m wide and 0.6 m deep, bears some 10,000 kNm; both rails 100 to 300 (common practice). Beyond are N m. */
const trackMoment = () =>
  quantity({ unit: 'kNm', min: 1, max: 2e4, usual: [1, 2e4], slips: [givenInThousandths('N m')] });

/** Of every track alike: the slab over its whole width, both rails together in either direction. */
const track = z
  .strictObject({
    slab_sagging_kNm: trackMoment().optional(),
    slab_hogging_kNm: trackMoment().optional(),
    rail_kNm: trackMoment().optional(),
  })
  .optional();

const supportResistance = z.strictObject({ id: identifier, reaction_kN: force() });

const supportResistances = z
  .array(supportResistance)
  .max(scenarioBounds.spans + 1)
  .default([]);

/** Design resistances of the intact structure: an entry per span in order (null: not known), compression per support, and the track. */
export const resistance = z.strictObject({
  spans: z.array(z.strictObject(spanKeys).nullable()).max(scenarioBounds.spans).optional(),
  supports: supportResistances,
  track,
});

/** What a damage case changes in the resistances: only the named spans (counted from 1), supports and moments of the track. */
export const caseResistance = z.strictObject({
  spans: z
    .array(
      z.strictObject({
        span: quantity({ unit: '(counted from 1)', min: 1, max: scenarioBounds.spans, integer: true }),
        ...spanKeys,
      }),
    )
    .max(scenarioBounds.spans)
    .default([]),
  supports: supportResistances,
  track,
});
