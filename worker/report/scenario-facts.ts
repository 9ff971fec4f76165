import { z } from 'zod';
import type { CheckId } from '../../scenarios/result.js';
import { limitEnds } from './limit-ends.js';

/** What the report needs from the scenario document beyond the result. */
export interface ScenarioFacts {
  /** One per support in order along the deck; empty where the document does not say. */
  readonly supports: readonly SupportLine[];
  readonly deckLengthM: number | null;
  /** Effects per damage case id. */
  readonly effects: ReadonlyMap<string, readonly DamageEffectEcho[]>;
  readonly notes: string | null;
  /** Where the limits of checks end, in km/h. */
  readonly limitEnds: ReadonlyMap<CheckId, number>;
}

export interface SupportLine {
  readonly id: string;
  readonly xM: number;
  readonly joint: boolean;
}

/** A damage effect as it stands in the scenario file. */
export type DamageEffectEcho = Readonly<Record<string, unknown>>;

const spanLength = z
  .union([
    z.looseObject({ length_m: z.number().positive() }).transform((span) => span.length_m),
    z
      .looseObject({ segments: z.array(z.looseObject({ length_m: z.number().positive() })).min(1) })
      .transform((span) => span.segments.reduce((total, segment) => total + segment.length_m, 0)),
  ])
  .array();
const spansOf = z.looseObject({ deck: z.looseObject({ spans: spanLength }) });
const supportsOf = z.looseObject({
  supports: z.array(z.looseObject({ id: z.string(), joint: z.boolean().optional() })),
});
const casesOf = z.looseObject({
  damage_cases: z.array(
    z.looseObject({ id: z.string(), effects: z.array(z.record(z.string(), z.unknown())) }),
  ),
});
const notesOf = z.looseObject({ notes: z.string() });

/**
 * Reads a scenario document as far as it can. A part that is not there or has another form is left out, never guessed:
 * the report then lacks a picture's supports, not a number.
 */
export function readScenarioFacts(document: unknown): ScenarioFacts {
  const spans = spansOf.safeParse(document);
  const supports = supportsOf.safeParse(document);
  const cases = casesOf.safeParse(document);
  const notes = notesOf.safeParse(document);
  const lengths = spans.success ? spans.data.deck.spans : [];
  const ids = supports.success ? supports.data.supports : [];
  const lines: SupportLine[] = [];
  if (lengths.length > 0 && ids.length === lengths.length + 1) {
    let x = 0;
    for (const [index, support] of ids.entries()) {
      lines.push({ id: support.id, xM: x, joint: support.joint === true });
      x += lengths[index] ?? 0;
    }
  }
  return {
    supports: lines,
    deckLengthM: lines.at(-1)?.xM ?? null,
    effects: new Map(
      cases.success ? cases.data.damage_cases.map((damage) => [damage.id, damage.effects]) : [],
    ),
    notes: notes.success ? notes.data.notes : null,
    limitEnds: limitEnds(document),
  };
}

/** The support ids that a damage case takes away altogether: no bearing left, or all of the stiffness gone. */
export function lostSupports(effects: readonly DamageEffectEcho[]): ReadonlySet<string> {
  const lost = new Set<string>();
  for (const effect of effects) {
    const whole =
      (effect.kind === 'bearing-loss' && effect.side === undefined) ||
      (effect.kind === 'support-stiffness-loss' && effect.fraction === 1);
    if (whole && typeof effect.support === 'string') lost.add(effect.support);
  }
  return lost;
}
