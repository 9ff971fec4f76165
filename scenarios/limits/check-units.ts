import { gravity } from '../../solver/viaduct/gravity.js';
import type { CheckId } from '../result.js';
import type { Quantity } from '../schema/quantity.js';

/** The unit a check is judged in, and what its limit may be (in that unit), as an override or as a step of an own set. */
export interface CheckUnit {
  readonly unit: 'm/s2' | 'mm' | 'rad' | 'kN' | '-';
  readonly kind: 'safety' | 'comfort';
  readonly override: Quantity;
}

const utilisation: CheckUnit = {
  unit: '-',
  kind: 'safety',
  override: { unit: '- (utilisation of the resistance)', min: 0.1, max: 1 },
};

/** What n of a deflection limited to span length / n may be, in an own set. */
export const deflectionDivisor: Quantity = { unit: '- (n of L/n)', min: 100, max: 20_000 };

/** Every check that has a limit; `equilibrium` has none: a mechanism is a mechanism. */
export const checkUnits = {
  'deck-acceleration': {
    unit: 'm/s2',
    kind: 'safety',
    override: {
      unit: 'm/s2',
      min: 0.1,
      max: 20,
      slips: [
        { factor: 1e-3, givenIn: 'mm/s2' },
        { factor: gravity, givenIn: 'g' },
      ],
    },
  },
  'deck-deflection': {
    unit: 'mm',
    kind: 'safety',
    override: { unit: 'mm (for every span alike; by span as L/n in limits.own_set)', min: 0.5, max: 500 },
  },
  'end-rotation': {
    unit: 'rad',
    kind: 'safety',
    override: {
      unit: 'rad',
      min: 1e-5,
      max: 0.05,
      usual: [1e-4, 0.02],
      slips: [{ factor: 1e-3, givenIn: 'mrad' }],
    },
  },
  'joint-step': { unit: 'mm', kind: 'safety', override: { unit: 'mm', min: 0.1, max: 20 } },
  'fastening-uplift': {
    unit: 'kN',
    kind: 'safety',
    override: { unit: 'kN per pair of seats', min: 1, max: 200, slips: [{ factor: 1e-3, givenIn: 'N' }] },
  },
  'bearing-uplift': utilisation,
  'support-reaction': utilisation,
  bending: utilisation,
  shear: utilisation,
  'slab-bending': utilisation,
  'rail-bending': utilisation,
  'deck-twist': { unit: 'mm', kind: 'safety', override: { unit: 'mm over 3 m', min: 0.1, max: 20 } },
  'wheel-unloading': { unit: '-', kind: 'safety', override: { unit: '- (dQ/Q0)', min: 0.05, max: 0.95 } },
  'track-geometry': { unit: 'mm', kind: 'safety', override: { unit: 'mm', min: 1, max: 50 } },
  'body-acceleration': { unit: 'm/s2', kind: 'comfort', override: { unit: 'm/s2', min: 0.1, max: 5 } },
  'ride-comfort': {
    unit: 'm/s2',
    kind: 'comfort',
    override: { unit: 'm/s2 (weighted r.m.s.)', min: 0.05, max: 3 },
  },
} as const satisfies Record<Exclude<CheckId, 'equilibrium'>, CheckUnit>;
