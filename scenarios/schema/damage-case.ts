import { z } from 'zod';
import { scenarioBounds } from './bounds.js';
import { freeText, identifier } from './identifier.js';
import { givenInThousands, givenInThousandths, type Quantity, quantity } from './quantity.js';
import { caseResistance } from './resistance.js';

const fraction = () =>
  quantity({
    unit: '-',
    min: 0,
    aboveMin: true,
    max: 1,
    usual: [0.01, 1],
    slips: [{ factor: 0.01, givenIn: 'per cent' }],
  });

/** x from the start of a span. */
export const placeInSpan: Quantity = {
  unit: 'm',
  min: 0,
  max: 20000,
  usual: [0, 500],
  slips: [givenInThousandths('mm')],
};
const withinSpan = () => quantity(placeInSpan);

/** x along the deck; the track runs on over both abutments, hence a little beyond the ends (checked across fields). */
export const placeOfTrack: Quantity = {
  unit: 'm',
  min: -1000,
  max: 101000,
  usual: [-100, 20000],
  slips: [givenInThousandths('mm')],
};
const alongTrack = () => quantity(placeOfTrack);

const supportStiffnessLoss = z.strictObject({
  kind: z.literal('support-stiffness-loss'),
  support: identifier,
  fraction: fraction(),
});

const supportSettlement = z.strictObject({
  kind: z.literal('support-settlement'),
  support: identifier,
  /** Downwards. Below 0.1 mm nothing can be measured: metres are the usual slip. */
  settlement_mm: quantity({
    unit: 'mm',
    min: 0.1,
    max: 2000,
    usual: [1, 2000],
    slips: [givenInThousands('m')],
  }),
});

const bearingLoss = z.strictObject({
  kind: z.literal('bearing-loss'),
  support: identifier,
  /** One of two bearings, at both deck ends of a joint; absent: the whole support line. */
  side: z.enum(['left', 'right']).optional(),
});

const deckStiffnessLoss = z.strictObject({
  kind: z.literal('deck-stiffness-loss'),
  span: quantity({ unit: '(counted from 1)', min: 1, max: scenarioBounds.spans, integer: true }),
  from_m: withinSpan(),
  to_m: withinSpan(),
  fraction: fraction(),
});

const beddingLoss = z.strictObject({
  kind: z.literal('bedding-loss'),
  from_m: alongTrack(),
  to_m: alongTrack(),
  fraction: fraction(),
});

const fasteningLoss = z.strictObject({
  kind: z.literal('fastening-loss'),
  from_m: alongTrack(),
  to_m: alongTrack(),
  fraction: fraction(),
});

const damageEffect = z.discriminatedUnion('kind', [
  supportStiffnessLoss,
  supportSettlement,
  bearingLoss,
  deckStiffnessLoss,
  beddingLoss,
  fasteningLoss,
]);
export type ScenarioDamageEffect = z.infer<typeof damageEffect>;

const damageCase = z.strictObject({
  id: identifier,
  title: freeText.optional(),
  effects: z.array(damageEffect).min(1).max(scenarioBounds.effectsPerCase),
  reverse: z
    .boolean()
    .default(false)
    .describe('Accepted, without effect: every case is assessed in both directions, and the worse is shown.'),
  resistance: caseResistance.optional(),
});

export const damageCases = z.array(damageCase).max(scenarioBounds.damageCases).default([]);
