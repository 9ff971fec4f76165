import { z } from 'zod';
import { damageCases } from './schema/damage-case.js';
import { decision } from './schema/decision.js';
import { deck } from './schema/deck.js';
import { freeText } from './schema/identifier.js';
import { limits } from './schema/limits.js';
import { line, speeds } from './schema/line.js';
import { resistance } from './schema/resistance.js';
import { supportsFlexibility } from './schema/substructure.js';
import { supports } from './schema/support.js';
import { track } from './schema/track.js';
import { trackIrregularity } from './schema/track-irregularity.js';
import { meeting, tracks } from './schema/tracks.js';
import { trains } from './schema/train.js';

export const scenarioFormat = 'deckpace/scenario@1';

/**
 * The scenario file: shape, units and ranges of every key. Rules across keys (counts, references, order) are in
 * `faults/cross`; `readScenario` applies both, so use that to read a file.
 */
export const scenarioSchema = z.strictObject({
  format: z.literal(scenarioFormat),
  title: freeText.min(1).default('Untitled scenario'),
  notes: z.string().max(20_000).optional(),
  line,
  deck,
  supports,
  supports_flexibility: supportsFlexibility.optional(),
  track: track.optional(),
  tracks: tracks.optional(),
  meeting: meeting.optional(),
  track_irregularity: trackIrregularity.optional(),
  trains,
  speeds: speeds.prefault({}),
  resistance: resistance.optional(),
  damage_cases: damageCases,
  limits: limits.prefault({}),
  decision: decision.prefault({}),
});

type DeepReadonly<T> = T extends readonly (infer Item)[]
  ? readonly DeepReadonly<Item>[]
  : T extends object
    ? { readonly [Key in keyof T]: DeepReadonly<T[Key]> }
    : T;

/** A scenario that validated: defaults filled in, frozen, plain JSON (it may cross threads and queues). */
export type Scenario = DeepReadonly<z.infer<typeof scenarioSchema>>;
export type ScenarioSpan = Scenario['deck']['spans'][number];
export type ScenarioTrain = Scenario['trains'][number];
export type ScenarioDamageCase = Scenario['damage_cases'][number];
