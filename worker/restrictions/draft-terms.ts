import type { Recommendation, Result } from '../../scenarios/result.js';
import { mostPermitted } from './most-permitted.js';
import type { Restriction } from './restriction.js';
import type { RestrictionTerms } from './restriction-event.js';
import { RestrictionRefusal } from './restriction-refusal.js';

/** What an engineer asks for. */
export interface DraftRequest {
  readonly assessment: string;
  readonly damage_case: string;
  readonly class: string;
  /** Absent: as recommended. Null: a closure. */
  readonly permitted_speed_kmh?: number | null | undefined;
  /** Needed where the speed is set lower than recommended. */
  readonly lowered_because?: string | undefined;
  /** Needed where the scenario gives no chainage, and then as long as the deck at least; may otherwise only lengthen the stretch. */
  readonly from_chainage_km?: number | undefined;
  readonly to_chainage_km?: number | undefined;
}

/**
 * Terms of a restriction from a finished assessment: never a higher speed than recommended, never a shorter stretch than the
 * deck and what is damaged beyond it, and nothing but a closure where the assessment found no safe speed or lacked the evidence for one.
 *
 * @param predecessor restriction to be superseded, in force now
 * @throws RestrictionRefusal
 */
export function draftTerms(
  result: Result,
  request: DraftRequest,
  predecessor: Restriction | null,
): RestrictionTerms {
  const recommendation = result.recommendations.find(
    (one) => one.damage_case === request.damage_case && one.class === request.class,
  );
  if (recommendation === undefined) {
    const known = result.recommendations.map((one) => `${one.damage_case} / ${one.class}`).join(', ');
    throw new RestrictionRefusal(
      'no-such-recommendation',
      `The assessment recommends nothing for ${request.damage_case} / ${request.class}; it does for: ${known}.`,
    );
  }
  const stretch = stretchOf(recommendation, request);
  const terms: RestrictionTerms = {
    assessment: request.assessment,
    scenario_sha256: result.scenario_sha256,
    engine: result.engine,
    title: result.title,
    damage_case: request.damage_case,
    class: request.class,
    ...stretch,
    ...speedOf(recommendation, request),
    recommended_speed_kmh: recommendation.permitted_speed_kmh,
    recommended_status: recommendation.status,
    reason: recommendation.reason,
    speeds_hold: result.speeds_hold ?? null,
    supersedes: predecessor?.id ?? null,
  };
  return predecessor === null ? terms : supersedingTerms(terms, predecessor);
}

function speedOf(
  { status, permitted_speed_kmh: recommended }: Recommendation,
  request: DraftRequest,
): Pick<RestrictionTerms, 'kind' | 'permitted_speed_kmh' | 'lowered_because'> {
  const wanted = request.permitted_speed_kmh === undefined ? recommended : request.permitted_speed_kmh;
  const because = request.lowered_because?.trim() ?? '';
  const most = mostPermitted(status, recommended);
  if (most === null) {
    if (wanted === null)
      return { kind: 'closure', permitted_speed_kmh: null, lowered_because: because || null };
    throw new RestrictionRefusal(
      'only-closure',
      `The case is ${status}: it can only become a closure, not a speed of ${wanted} km/h.`,
    );
  }
  if (wanted !== null && wanted > most) {
    throw new RestrictionRefusal(
      'higher-than-recommended',
      `${wanted} km/h is higher than the recommended ${most} km/h.`,
    );
  }
  const lowered = wanted === null || wanted < most;
  if (!lowered && status === 'line-speed') {
    throw new RestrictionRefusal(
      'nothing-to-restrict',
      'The assessment recommends line speed: give a lower speed with a reason, or draft nothing.',
    );
  }
  if (lowered && because === '') {
    throw new RestrictionRefusal(
      'reason-missing',
      `Lower than the recommended ${most} km/h: say why in lowered_because.`,
    );
  }
  return {
    kind: wanted === null ? 'closure' : 'speed',
    permitted_speed_kmh: wanted,
    lowered_because: lowered ? because : null,
  };
}

/** Chainages agree where they are no further apart: kilometres that were added up carry the rounding of it. */
const MILLIMETRE_KM = 1e-6;

type Stretch = Pick<RestrictionTerms, 'from_chainage_km' | 'to_chainage_km'>;

function stretchOf(recommendation: Recommendation, request: DraftRequest): Stretch {
  const { from_chainage_km: deckFrom, to_chainage_km: deckTo } = recommendation;
  if (deckFrom === null || deckTo === null) return givenStretch(recommendation, request);
  const asked = {
    from_chainage_km: request.from_chainage_km ?? deckFrom,
    to_chainage_km: request.to_chainage_km ?? deckTo,
  };
  const deck = { from_chainage_km: deckFrom, to_chainage_km: deckTo };
  if (!covers(asked, deck)) {
    throw new RestrictionRefusal(
      'chainage-too-short',
      `The stretch must reach from ${kilometres(deckFrom)} to ${kilometres(deckTo)} km at least, the ends of the deck or of what is damaged or fails beyond them.`,
    );
  }
  return both(asked, deck);
}

/** Where the scenario gives no chainage, nothing but the length can be judged. */
function givenStretch(
  { from_m: start = 0, to_m: end }: Recommendation,
  { from_chainage_km: from, to_chainage_km: to }: DraftRequest,
): Stretch {
  if (end === undefined) {
    throw new RestrictionRefusal(
      'chainage-missing',
      'The assessment is of a former version: it gives neither chainage nor length of what is to be restricted, so that no stretch can be judged. Submit the scenario again with ?rerun=true and draft from the new assessment.',
    );
  }
  const what = `of the stretch from ${start} m to ${end} m, counted from the first support`;
  if (from === undefined || to === undefined || from >= to) {
    throw new RestrictionRefusal(
      'chainage-missing',
      `The scenario gives no chainage: give from_chainage_km and to_chainage_km, ascending, ${what}.`,
    );
  }
  if (to - from < (end - start) / 1e3 - MILLIMETRE_KM) {
    throw new RestrictionRefusal(
      'chainage-too-short',
      `From ${kilometres(from)} to ${kilometres(to)} km are ${Number((1e3 * (to - from)).toFixed(3))} m; it must be ${Number((end - start).toFixed(3))} m at least, the length ${what}.`,
    );
  }
  return { from_chainage_km: from, to_chainage_km: to };
}

/** Nothing that was restricted may be left out unnoticed. @returns terms that reach to the ends of the predecessor */
function supersedingTerms(terms: RestrictionTerms, predecessor: Restriction): RestrictionTerms {
  if (predecessor.state !== 'in-force') {
    throw new RestrictionRefusal(
      'predecessor-not-in-force',
      `Restriction ${predecessor.id} is ${predecessor.state}; only one in force can be superseded.`,
    );
  }
  const sameClass = terms.class === predecessor.class || terms.class === 'all';
  if (sameClass && covers(terms, predecessor)) return { ...terms, ...both(terms, predecessor) };
  throw new RestrictionRefusal(
    'predecessor-not-covered',
    `The new restriction must cover class ${predecessor.class} from ${kilometres(predecessor.from_chainage_km)} to ` +
      `${kilometres(predecessor.to_chainage_km)} km as restriction ${predecessor.id} does; withdraw that one instead if it may end.`,
  );
}

function covers(stretch: Stretch, inner: Stretch): boolean {
  return (
    stretch.from_chainage_km <= inner.from_chainage_km + MILLIMETRE_KM &&
    stretch.to_chainage_km >= inner.to_chainage_km - MILLIMETRE_KM
  );
}

/** The tolerance lets nobody off the last millimetre. */
function both(one: Stretch, other: Stretch): Stretch {
  return {
    from_chainage_km: Math.min(one.from_chainage_km, other.from_chainage_km),
    to_chainage_km: Math.max(one.to_chainage_km, other.to_chainage_km),
  };
}

function kilometres(chainage: number): number {
  return Number(chainage.toFixed(6));
}
