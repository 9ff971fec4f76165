import { z } from 'zod';

/** Who did something: the holder answers, the key was used. */
export const actor = z.strictObject({ holder: z.string(), key: z.string() });
export type Actor = Readonly<z.infer<typeof actor>>;

/** What a restriction says, fixed when it is drafted. */
export const restrictionTerms = z.strictObject({
  assessment: z.string(),
  scenario_sha256: z.string(),
  engine: z.string(),
  title: z.string(),
  damage_case: z.string(),
  class: z.string(),
  /** From and to along the line, the ends of the deck or beyond. */
  from_chainage_km: z.number(),
  to_chainage_km: z.number(),
  kind: z.enum(['speed', 'closure']),
  /** Null for a closure: no train of the class may run. */
  permitted_speed_kmh: z.number().nullable(),
  recommended_speed_kmh: z.number().nullable(),
  recommended_status: z.enum(['line-speed', 'restricted', 'closed', 'undetermined']),
  /** The recommendation's reason, in one sentence. */
  reason: z.string(),
  /** For which directions and tracks the speed was assessed, in words; null in histories and results of former versions, which do not say. */
  speeds_hold: z.string().nullable().default(null),
  /** Why it is lower than recommended; null when it is not. */
  lowered_because: z.string().nullable(),
  /** Restriction that this one takes the place of when approved. */
  supersedes: z.string().nullable(),
});
export type RestrictionTerms = Readonly<z.infer<typeof restrictionTerms>>;

const common = {
  /** Sequence within the restriction, from 1. */
  sequence: z.int().positive(),
  restriction: z.string(),
  at: z.iso.datetime(),
  by: actor,
  why: z.string().nullable(),
  /** SHA-256 of the event before, as stored: a change made afterwards shows. */
  previous_sha256: z.string().nullable(),
};

/** One entry of a restriction's history. Entries are appended, never changed and never removed. */
export const restrictionEvent = z.discriminatedUnion('type', [
  z.strictObject({ type: z.literal('drafted'), ...common, terms: restrictionTerms }),
  z.strictObject({ type: z.literal('approved'), ...common }),
  z.strictObject({ type: z.literal('withdrawn'), ...common, why: z.string() }),
  z.strictObject({ type: z.literal('superseded'), ...common, successor: z.string() }),
]);
export type RestrictionEvent = Readonly<z.infer<typeof restrictionEvent>>;
