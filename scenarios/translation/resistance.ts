import type { Resistance, SpanResistance, TrackResistance } from '../assessment-model.js';
import type { Scenario, ScenarioDamageCase } from '../scenario.js';

interface GivenSpan {
  readonly sagging_kNm?: number | undefined;
  readonly hogging_kNm?: number | undefined;
  readonly shear_kN?: number | undefined;
}

/** The resistances of the intact structure, N and N m; null when the scenario gives none. */
export function intactResistance(scenario: Scenario): Resistance | null {
  const { resistance } = scenario;
  if (resistance === undefined) return null;
  return {
    spans: scenario.deck.spans.map((_, index) => {
      const span = resistance.spans?.[index];
      return span ? spanResistance(span) : null;
    }),
    supportReaction: new Map(resistance.supports.map(({ id, reaction_kN }) => [id, reaction_kN * 1e3])),
    track: trackResistance(resistance.track),
  };
}

/**
 * The resistances in a damaged state. A span whose stiffness is lost has cracked: what it could carry before says nothing about
 * it now, so that its resistance is unknown unless the case gives it. All others stay as they were, or as the case says.
 */
export function resistanceInCase(
  scenario: Scenario,
  damageCase: ScenarioDamageCase,
  intact: Resistance | null,
): Resistance | null {
  const own = damageCase.resistance;
  if (intact === null && own === undefined) return null;
  const spans: (SpanResistance | null)[] = [...(intact?.spans ?? scenario.deck.spans.map(() => null))];
  for (const effect of damageCase.effects) {
    if (effect.kind === 'deck-stiffness-loss') spans[effect.span - 1] = null;
  }
  for (const given of own?.spans ?? []) spans[given.span - 1] = spanResistance(given);
  const supportReaction = new Map(intact?.supportReaction);
  for (const { id, reaction_kN } of own?.supports ?? []) supportReaction.set(id, reaction_kN * 1e3);
  return { spans, supportReaction, track: trackResistance(own?.track, intact?.track) };
}

/** Supports that still bear something after an effect on them, and whose resistance nobody has given for the case. */
export function supportsJudgedAsBuilt(
  { effects, resistance }: ScenarioDamageCase,
  intact: Resistance | null,
): readonly string[] {
  const given = new Set(resistance?.supports?.map(({ id }) => id));
  const gone = new Set<string>();
  const touched = new Set<string>();
  for (const effect of effects) {
    if (!('support' in effect)) continue;
    touched.add(effect.support);
    const isGone =
      effect.kind === 'support-stiffness-loss'
        ? effect.fraction === 1
        : effect.kind === 'bearing-loss' && effect.side === undefined;
    if (isGone) gone.add(effect.support);
  }
  return [...touched].filter((id) => !gone.has(id) && !given.has(id) && intact?.supportReaction.has(id));
}

/** Moments that are given, and of those that are not what was known before. */
function trackResistance(
  given: NonNullable<Scenario['resistance']>['track'],
  before: TrackResistance = { slabSagging: null, slabHogging: null, rail: null },
): TrackResistance {
  return {
    slabSagging: inNewtons(given?.slab_sagging_kNm) ?? before.slabSagging,
    slabHogging: inNewtons(given?.slab_hogging_kNm) ?? before.slabHogging,
    rail: inNewtons(given?.rail_kNm) ?? before.rail,
  };
}

const inNewtons = (value: number | undefined): number | null => (value === undefined ? null : value * 1e3);

function spanResistance(given: GivenSpan): SpanResistance {
  return {
    sagging: inNewtons(given.sagging_kNm),
    hogging: inNewtons(given.hogging_kNm),
    shear: inNewtons(given.shear_kN),
  };
}
