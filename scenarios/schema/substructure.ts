import { z } from 'zod';
import { scenarioBounds } from './bounds.js';
import { identifier } from './identifier.js';
import { givenInThousands, givenInThousandths, quantity } from './quantity.js';

const flexibility = quantity({
  unit: 'm/N',
  min: -1e-5,
  max: 1e-5,
  usual: [-1e-7, 1e-7],
  slips: [
    { factor: 1e-3, givenIn: 'm/kN' },
    { factor: 1e-6, givenIn: 'mm/kN' },
  ],
});

const frameNode = z.strictObject({
  id: identifier,
  x_m: quantity({
    unit: 'm',
    min: -1000,
    max: 101000,
    usual: [-100, 20000],
    slips: [givenInThousandths('mm')],
  }),
  /** Downwards, from any level. */
  z_m: quantity({ unit: 'm', min: -1000, max: 1000, usual: [-300, 300], slips: [givenInThousandths('mm')] }),
  /** The support of the deck that stands on this node. */
  support: identifier.optional(),
  /** By the ground: pinned against displacement, clamped against rotation as well. */
  held: z.enum(['pinned', 'clamped']).optional(),
});

const frameBar = z.strictObject({
  from: identifier,
  to: identifier,
  axial_rigidity_N: quantity({
    unit: 'N',
    min: 1e6,
    max: 1e14,
    usual: [1e8, 1e13],
    slips: [givenInThousands('kN'), { factor: 1e6, givenIn: 'MN' }],
  }),
  /** Absent: hinged at both ends. */
  flexural_rigidity_N_m2: quantity({
    unit: 'N m2',
    min: 1e4,
    max: 1e14,
    usual: [1e6, 1e13],
    slips: [givenInThousands('kN m2'), { factor: 1e6, givenIn: 'MN m2' }],
  }).optional(),
  mass_kg_per_m: quantity({
    unit: 'kg/m',
    min: 1,
    max: 2e5,
    usual: [50, 1e5],
    slips: [givenInThousands('t/m')],
  }),
});

/** What several supports stand on: a flexibility matrix, or a frame that it is condensed from; one of the two (checked across fields). */
export const supportsFlexibility = z.strictObject({
  supports: z.array(identifier).min(1).max(scenarioBounds.coupledSupports).optional(),
  flexibility_m_per_N: z
    .array(z.array(flexibility).min(1).max(scenarioBounds.coupledSupports))
    .min(1)
    .max(scenarioBounds.coupledSupports)
    .optional(),
  frame: z
    .strictObject({
      nodes: z.array(frameNode).min(2).max(scenarioBounds.frameNodes),
      bars: z.array(frameBar).min(1).max(scenarioBounds.frameBars),
    })
    .optional(),
});
export type SupportsFlexibility = z.infer<typeof supportsFlexibility>;
