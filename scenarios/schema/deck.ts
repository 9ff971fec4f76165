import { z } from 'zod';
import { scenarioBounds } from './bounds.js';
import { givenInThousands, givenInThousandths, quantity } from './quantity.js';

const length = () =>
  quantity({ unit: 'm', min: 1, max: 500, usual: [3, 200], slips: [givenInThousandths('mm')] });

/** A railway deck below 50 kg/m is a slip (tonnes per metre are the usual one); 200 t/m is beyond any four-track deck. */
const mass = () =>
  quantity({
    unit: 'kg/m',
    min: 50,
    max: 2e5,
    usual: [1000, 1e5],
    slips: [givenInThousands('t/m'), givenInThousandths('g/m')],
  });

/** E I and G J are of one size. */
const rigidity = () =>
  quantity({
    unit: 'N m2',
    min: 1e6,
    max: 1e14,
    usual: [1e9, 1e13],
    slips: [givenInThousands('kN m2'), { factor: 1e6, givenIn: 'MN m2' }, givenInThousandths('mN m2')],
  });

const shearRigidity = () =>
  quantity({
    unit: 'N',
    min: 1e6,
    max: 1e14,
    usual: [1e8, 1e13],
    slips: [givenInThousands('kN'), { factor: 1e6, givenIn: 'MN' }],
  });

const rotaryInertia = () =>
  quantity({
    unit: 'kg m (kg m2 per metre)',
    min: 10,
    max: 1e7,
    usual: [1000, 2e6],
    slips: [givenInThousands('t m'), givenInThousandths('g m')],
  });

/** A stretch of a span with constant properties. */
const segment = z.strictObject({
  length_m: quantity({
    unit: 'm',
    min: 0.05,
    max: 500,
    usual: [0.5, 200],
    slips: [givenInThousandths('mm')],
  }),
  mass_kg_per_m: mass(),
  flexural_rigidity_N_m2: rigidity(),
  shear_rigidity_N: shearRigidity().optional(),
  torsional_rigidity_N_m2: rigidity().optional(),
  rotary_inertia_kg_m: rotaryInertia().optional(),
});

/** The deck between two supports: constant properties, or segments whose lengths add up to the span. */
const span = z.strictObject({
  length_m: length(),
  mass_kg_per_m: mass().optional(),
  flexural_rigidity_N_m2: rigidity().optional(),
  shear_rigidity_N: shearRigidity().optional(),
  torsional_rigidity_N_m2: rigidity().optional(),
  rotary_inertia_kg_m: rotaryInertia().optional(),
  segments: z.array(segment).min(1).max(scenarioBounds.segmentsPerSpan).optional(),
});

export const deckMaterial = z.enum(['prestressed-concrete', 'reinforced-concrete', 'steel', 'composite']);
export type DeckMaterial = z.infer<typeof deckMaterial>;

/** The deck. Exactly one of `damping_ratio` and `material` is given (checked across fields). */
export const deck = z.strictObject({
  spans: z.array(span).min(1).max(scenarioBounds.spans),
  damping_ratio: quantity({
    unit: '-',
    min: 0,
    max: 0.2,
    usual: [0.002, 0.05],
    slips: [{ factor: 0.01, givenIn: 'per cent' }],
  }).optional(),
  material: deckMaterial.optional(),
});
