import { sha256OfJson } from './canonical-json.js';
import { type Fault, fault } from './fault.js';
import { classRules } from './faults/cross/class-rules.js';
import { damageRules } from './faults/cross/damage-rules.js';
import { deckRules } from './faults/cross/deck-rules.js';
import { irregularityRules } from './faults/cross/irregularity-rules.js';
import { limitRules } from './faults/cross/limit-rules.js';
import { plausibilityRules } from './faults/cross/plausibility-rules.js';
import { resistanceRules } from './faults/cross/resistance-rules.js';
import { resistanceSizeRules } from './faults/cross/resistance-size-rules.js';
import { speedRules } from './faults/cross/speed-rules.js';
import { substructureRules } from './faults/cross/substructure-rules.js';
import { supportRules } from './faults/cross/support-rules.js';
import { torsionRules } from './faults/cross/torsion-rules.js';
import { trackRules } from './faults/cross/track-rules.js';
import { trainRules } from './faults/cross/train-rules.js';
import { vehicleRules } from './faults/cross/vehicle-rules.js';
import { formatFault } from './faults/format-fault.js';
import { parseJson } from './faults/parse-json.js';
import { withKeysAsMeant } from './faults/repair-keys.js';
import { shapeFaults } from './faults/shape-faults.js';
import { parseScenario } from './parse-scenario.js';
import { type Scenario, scenarioSchema } from './scenario.js';
import { scenarioBounds } from './schema/bounds.js';

export type ScenarioReading =
  | { readonly ok: true; readonly scenario: Scenario; readonly sha256: string }
  | { readonly ok: false; readonly faults: readonly Fault[] };

export interface ReadingOptions {
  /** Few files will be read: what makes reading many faster would cost more than it saves. False unless given. */
  readonly alone?: boolean;
}

const crossRules = [
  deckRules,
  supportRules,
  substructureRules,
  trackRules,
  torsionRules,
  irregularityRules,
  trainRules,
  classRules,
  vehicleRules,
  speedRules,
  resistanceRules,
  damageRules,
  limitRules,
  plausibilityRules,
  resistanceSizeRules,
];

/**
 * Reads a scenario file. Either a validated scenario with the SHA-256 of its canonical JSON, or every fault found in it, at
 * least one. Never throws on bad input.
 */
export function readScenario(
  text: string | Uint8Array,
  { alone = false }: ReadingOptions = {},
): ScenarioReading {
  const parsed = parseJson(text);
  if (!parsed.ok) return parsed;
  const document = parsed.document;
  const format = formatFault(document);
  if (format?.alone) return { ok: false, faults: [format.fault] };
  const shape = parseScenario(document, alone);
  const issues = shape.success ? [] : shape.error.issues.filter((issue) => issue.path[0] !== 'format');
  const { faults: shapeFound, misspellings, unlisted } = shapeFaults(scenarioSchema, issues, document);
  const meant = withKeysAsMeant(document, misspellings);
  const faults = [
    ...(format === null ? [] : [format.fault]),
    ...shapeFound,
    ...crossRules.flatMap((rule) => rule(meant)),
  ];
  if (shape.success && faults.length === 0) {
    return { ok: true, scenario: frozen(shape.data), sha256: sha256OfJson(document) };
  }
  return { ok: false, faults: bounded(faults, unlisted) };
}

function bounded(faults: readonly Fault[], unlisted: number): readonly Fault[] {
  const listed = scenarioBounds.faultsListed;
  const more = Math.max(0, faults.length - listed) + unlisted;
  if (more === 0) return faults;
  const rest = fault([], 'more-faults', {
    found: `about ${more} faults more`,
    accepted: 'a file without faults: mend those listed and validate again',
  });
  return [...faults.slice(0, listed), rest];
}

function frozen<T>(value: T): T {
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) value.forEach(frozen);
  else for (const key of Object.keys(value)) frozen(value[key as keyof typeof value]);
  return Object.freeze(value);
}
