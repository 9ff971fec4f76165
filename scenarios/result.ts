import { z } from 'zod';

/**
 * The result file, `deckpace/result@1`. Engineering units stand in the keys. The keys named in the design are a contract;
 * the others may grow.
 */

const series = z.array(z.number());
export const status = z.enum(['line-speed', 'restricted', 'closed', 'undetermined']);
export type Status = z.infer<typeof status>;

export const checkId = z.enum([
  'deck-acceleration',
  'deck-deflection',
  'end-rotation',
  'joint-step',
  'fastening-uplift',
  'bearing-uplift',
  'support-reaction',
  'bending',
  'shear',
  'deck-twist',
  'wheel-unloading',
  'track-geometry',
  'slab-bending',
  'rail-bending',
  'equilibrium',
  'body-acceleration',
  'ride-comfort',
]);
export type CheckId = z.infer<typeof checkId>;

export const check = z.strictObject({
  id: checkId,
  kind: z.enum(['safety', 'comfort']),
  /** Null where the evidence is missing. */
  value: z.number().nullable(),
  limit: z.number().nullable(),
  unit: z.string(),
  utilisation: z.number().nullable(),
  /** Speed at which the value occurs; null where speed plays no part. */
  speed_kmh: z.number().nullable(),
  at_m: z.number().nullable(),
  /** Support, span or seat in words, e.g. "support P2" or "span 3". */
  where: z.string().nullable(),
  source: z.string(),
  /** 'missing' when the check was needed but nothing was supplied to judge it by; 'not-applicable' is not listed at all. */
  evidence: z.enum(['given', 'missing']),
  /** Highest speed up to which this check alone passes; null when it passes at none. */
  permitted_speed_kmh: z.number().nullable(),
});
export type Check = z.infer<typeof check>;

/** Largest over deck, time and both directions, nominal properties; one value per speed. Keys are the quantity with its unit. */
export const sweep = z.object({ speed_kmh: series }).catchall(series);

/** Largest and smallest along the deck at one speed (dead load not included unless the key says so). */
export const envelope = z.strictObject({
  speed_kmh: z.number(),
  x_m: series,
  deck_acceleration_m_per_s2: series,
  deck_deflection_max_mm: series,
  deck_deflection_min_mm: series,
  bending_max_kNm: series,
  bending_min_kNm: series,
  /** Dead load plus train. */
  total_bending_max_kNm: series,
  total_bending_min_kNm: series,
});
export type Envelope = z.infer<typeof envelope>;

/** Fastenings and rail at a joint or an end of the deck, at the speed at which the fastenings are pulled most, nominal properties. */
export const deckEndResult = z.strictObject({
  support: z.string(),
  /** Counted from 1. */
  track: z.number(),
  at_m: z.number(),
  /** 0: standing. */
  speed_kmh: z.number(),
  /** Rail above its seat. */
  uplift_mm: z.number(),
  /** What the clips of a pair of seats hold, at most the clamping force. */
  pull_kN: z.number(),
  /** What a linear fastening would have to hold at this uplift: what is judged. */
  linear_pull_kN: z.number(),
  seat_m: z.number(),
  /** Leading axle when the pull is largest. */
  leading_axle_m: z.number(),
  /** Seats whose pad is free, in the position in which most are. */
  released_seats: z.number(),
  compression_kN: z.number(),
  compressed_seat_m: z.number(),
  /** Beyond the bending on a deck that does not move; both rails. */
  rail_bending_increment_kNm: z.number(),
  /** Null without a section modulus. */
  rail_stress_increment_N_per_mm2: z.number().nullable(),
  rail_m: z.number(),
});
export type DeckEndResult = z.infer<typeof deckEndResult>;

export const trainResult = z.strictObject({
  train: z.string(),
  class: z.string(),
  status,
  permitted_speed_kmh: z.number().nullable(),
  comfort_speed_kmh: z.number().nullable(),
  governing: checkId.nullable(),
  reason: z.string(),
  blocked_bands_kmh: z.array(z.tuple([z.number(), z.number()])),
  /** What an engineer has to supply before an undetermined case can be judged. */
  missing: z.array(z.string()),
  resonance_speeds_kmh: series,
  checks: z.array(check),
  sweep,
  /** Limit of each swept quantity as drawn beside its sweep; same keys as the sweep. Piecewise in speed where the limit is. */
  sweep_limits: z.record(z.string(), z.array(z.strictObject({ up_to_kmh: z.number(), limit: z.number() }))),
  /** Only where the fastening is given its clamping force: every joint and end of the deck, in order. */
  deck_ends: z.array(deckEndResult).optional(),
  /** At the speed that governs; null where nothing was run. */
  envelope: envelope.nullable(),
});
export type TrainResult = z.infer<typeof trainResult>;

export const statics = z.strictObject({
  /** Dead load, per support, positive upwards on the deck (compression). */
  reactions_kN: z.record(z.string(), z.number()),
  /** Where supports have two bearings side by side: of each, named by support, deck end at a joint, and side. */
  bearing_reactions_kN: z.record(z.string(), z.number()).optional(),
  /** Largest change of the dead-load deflection against the intact deck; 0 for the intact case. */
  sag_mm: z.number(),
  dead_load_deflection_mm: z.number(),
  max_sagging_kNm: z.number(),
  max_hogging_kNm: z.number(),
  max_shear_kN: z.number(),
  x_m: series,
  deflection_mm: series,
  bending_kNm: series,
});
export type Statics = z.infer<typeof statics>;

export const caseResult = z.strictObject({
  damage_case: z.string(),
  title: z.string().nullable(),
  stable: z.boolean(),
  /** What moves freely, in words, when not stable. */
  mechanism: z.string().nullable(),
  frequencies_Hz: series,
  mode_shapes: z.array(z.strictObject({ frequency_Hz: z.number(), x_m: series, deck: series })),
  /** Null for a mechanism. */
  statics: statics.nullable(),
  /**
   * Only where dead load alone would pull on a bearing: the same with the lifted supports released. Not stable: they leave a mechanism, or what
   * the deck would come to rest on could not be settled.
   */
  statics_released: z
    .strictObject({ lifted: z.array(z.string()), stable: z.boolean(), statics: statics.nullable() })
    .nullable(),
  trains: z.array(trainResult),
});
export type CaseResult = z.infer<typeof caseResult>;

export const recommendation = z.strictObject({
  damage_case: z.string(),
  class: z.string(),
  status,
  permitted_speed_kmh: z.number().nullable(),
  comfort_speed_kmh: z.number().nullable(),
  governing: checkId.nullable(),
  governing_train: z.string().nullable(),
  /** Stretch of line the restriction covers; null where the scenario gives no chainage. */
  from_chainage_km: z.number().nullable(),
  to_chainage_km: z.number().nullable(),
  /** The same in x along the deck, from the first support; absent in results of former versions. */
  from_m: z.number().optional(),
  to_m: z.number().optional(),
  reason: z.string(),
});
export type Recommendation = z.infer<typeof recommendation>;

export const result = z.strictObject({
  format: z.literal('deckpace/result@1'),
  scenario_sha256: z.string(),
  engine: z.string(),
  provenance: z.strictObject({
    git_commit: z.string().nullable(),
    libraries: z.record(z.string(), z.string()),
  }),
  title: z.string(),
  line_speed_kmh: z.number(),
  /** Only where part of the scenario was assessed: what was asked for, an empty list asking for all. Never the answer for the whole. */
  selection: z.strictObject({ damage_cases: z.array(z.string()), trains: z.array(z.string()) }).optional(),
  cases: z.array(caseResult),
  /** For which directions and tracks the speeds hold, in words. Absent in results of former versions. */
  speeds_hold: z.string().optional(),
  recommendations: z.array(recommendation),
  cautions: z.array(z.string()),
});
export type Result = z.infer<typeof result>;
