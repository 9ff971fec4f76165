import { z } from 'zod';
import { checkUnits } from '../limits/check-units.js';
import { limitSetNames } from '../limits/limit-set-names.js';
import { checkId } from '../result.js';
import { scenarioBounds } from './bounds.js';
import { freeText, identifier } from './identifier.js';
import { quantity } from './quantity.js';

/** Of any check; each has a range of its own within. */
export const anyLimitValue = quantity({ unit: "the limit's unit", min: 0, aboveMin: true, max: 1e6 });

const limitStep = z.strictObject({
  /** Applies up to and including this speed; null: at any speed. Beyond the last step nothing is permitted. */
  up_to_kmh: quantity({ unit: 'km/h', min: 1, max: 1200 }).nullable(),
  value: anyLimitValue,
});

const limit = z.strictObject({
  check: checkId,
  kind: z.enum(['safety', 'comfort']),
  /** The check's own unit; `L/n` for a deflection limited to span length / value. */
  unit: z.enum(['m/s2', 'mm', 'L/n', 'rad', 'kN', '-']),
  steps: z.array(limitStep).min(1).max(scenarioBounds.limitSteps),
  source: freeText.min(1),
});

/** A limit set, `deckpace/limits@1`: built in or a user's own. */
export const limitSetFile = z.strictObject({
  format: z.literal('deckpace/limits@1'),
  id: identifier,
  title: freeText,
  limits: z.array(limit).min(1).max(checkId.options.length),
});
export type LimitSetFile = z.infer<typeof limitSetFile>;

const override = (check: keyof typeof checkUnits) => quantity(checkUnits[check].override).optional();

const overrides = z.strictObject({
  'deck-acceleration': override('deck-acceleration'),
  'deck-deflection': override('deck-deflection'),
  'end-rotation': override('end-rotation'),
  'joint-step': override('joint-step'),
  'fastening-uplift': override('fastening-uplift'),
  'bearing-uplift': override('bearing-uplift'),
  'support-reaction': override('support-reaction'),
  bending: override('bending'),
  shear: override('shear'),
  'slab-bending': override('slab-bending'),
  'rail-bending': override('rail-bending'),
  'deck-twist': override('deck-twist'),
  'wheel-unloading': override('wheel-unloading'),
  'track-geometry': override('track-geometry'),
  'body-acceleration': override('body-acceleration'),
  'ride-comfort': override('ride-comfort'),
});

/** A named set, or an own one written out; own sets and overrides replace the limits they name, all others stay. */
export const limits = z.strictObject({
  set: z.enum(limitSetNames).default('en-1990-a2'),
  own_set: limitSetFile.optional(),
  overrides: overrides.prefault({}),
});
