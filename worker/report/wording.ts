import type { CaseResult, CheckId, Recommendation, Status, TrainResult } from '../../scenarios/result.js';
import { isStrengthCompared } from '../checks/strength-checks.js';
import { formatSpeed } from './number-format.js';

/** A check id in the words of an operator. */
export const checkNames: Readonly<Record<CheckId, string>> = {
  'deck-acceleration': 'Deck acceleration',
  'deck-deflection': 'Deck deflection',
  'end-rotation': 'Deck end rotation',
  'joint-step': 'Step at a joint',
  'fastening-uplift': 'Fastening uplift',
  'bearing-uplift': 'Bearing uplift',
  'support-reaction': 'Support reaction',
  bending: 'Bending',
  shear: 'Shear',
  'slab-bending': 'Slab bending',
  'rail-bending': 'Rail bending',
  'deck-twist': 'Deck twist',
  'wheel-unloading': 'Wheel unloading',
  'track-geometry': 'Track geometry',
  equilibrium: 'Equilibrium',
  'body-acceleration': 'Car body acceleration',
  'ride-comfort': 'Ride comfort',
};

/** How a status is told: a word, a symbol of its own shape, and what it asks for. Colour is only ever a third cue. */
export interface StatusWording {
  readonly word: string;
  readonly symbol: string;
  readonly meaning: string;
}

export const statusWording: Readonly<Record<Status, StatusWording>> = {
  'line-speed': {
    word: 'Line speed',
    symbol: '✓',
    meaning:
      'Every check made passes at line speed; what of the strength of an intact deck was not checked, the reason says.',
  },
  restricted: {
    word: 'Restricted',
    symbol: '▼',
    meaning: 'Passes up to the speed given and no faster.',
  },
  closed: {
    word: 'Closed',
    symbol: '✕',
    meaning: 'No train of this class may cross.',
  },
  undetermined: {
    word: 'Undetermined',
    symbol: '?',
    meaning: 'Evidence is missing: keep the line closed until an engineer has supplied it.',
  },
};

/**
 * What a speed that is permitted leaves open, to be said beside the status: an intact deck without resistances may be at line speed
 * although nobody has compared its strength. Null where nothing is left open.
 *
 * @param trains those that the status speaks of
 */
export function reservation(
  status: Status,
  trains: readonly Pick<TrainResult, 'missing' | 'checks'>[],
): string | null {
  if (status === 'closed' || status === 'undetermined') return null;
  const open = trains.filter(({ missing }) => missing.length > 0);
  if (open.length === 0) return null;
  const compared = open.every(({ checks }) => isStrengthCompared(checks));
  return compared ? 'strength not checked in full' : 'strength not checked';
}

/** What a reader has to know of a speed with a reservation. */
export const reservationMeaning =
  'Where resistances are missing, load was not compared with strength; the speed is that of the other checks.';

/** The speed that goes with a status, in words: what an operator acts on. */
export function speedWords(status: Status, permittedSpeedKmh: number | null): string {
  if (status === 'closed') return 'no crossing';
  if (status === 'undetermined') return 'keep closed';
  return permittedSpeedKmh === null ? 'keep closed' : `${formatSpeed(permittedSpeedKmh)} km/h`;
}

/** What tells which damage case is meant. */
type NamedCase = Pick<CaseResult, 'damage_case' | 'title'>;

/** The title of a damage case; null where it has none that says more than its id. */
export function caseTitle({ damage_case: id, title }: NamedCase): string | null {
  return title === null || title === '' || title === id ? null : title;
}

/** A damage case in running text: its id, since two may have one title, and the title where there is one. */
export function caseName(damageCase: NamedCase): string {
  const title = caseTitle(damageCase);
  return title === null ? damageCase.damage_case : `${damageCase.damage_case} (${title})`;
}

/** The stretch of line of a recommendation by chainage, where the scenario gives none by the distance from the first support. */
export function stretchWords(
  stretch: Pick<Recommendation, 'from_chainage_km' | 'to_chainage_km' | 'from_m' | 'to_m'>,
): readonly [string, string] {
  const { from_chainage_km: fromKm, to_chainage_km: toKm, from_m: from, to_m: to } = stretch;
  // Whole metres, never shorter than the stretch.
  const down = (metres: number) => Math.floor(metres + 1e-6);
  const up = (metres: number) => Math.ceil(metres - 1e-6);
  if (fromKm !== null && toKm !== null)
    return [`km ${(down(1e3 * fromKm) / 1e3).toFixed(3)}`, `to km ${(up(1e3 * toKm) / 1e3).toFixed(3)}`];
  if (from === undefined || to === undefined) return ['whole', 'viaduct'];
  const start = from < 0 ? `${-down(from)} m before the first support` : 'the first support';
  return [start, `to ${up(to)} m beyond it`];
}
