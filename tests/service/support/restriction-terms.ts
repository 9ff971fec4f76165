import type { RestrictionTerms } from '../../../worker/restrictions/restriction-event.js';

/** What a restriction may say, for tests that need no assessment behind it. */
export const someTerms: RestrictionTerms = {
  assessment: 'a1',
  scenario_sha256: 'a'.repeat(64),
  engine: 'deckpace 0.0.0',
  title: 'Viaduct',
  damage_case: 'P2-settled',
  class: 'passenger',
  from_chainage_km: 12.34,
  to_chainage_km: 12.6,
  kind: 'speed',
  permitted_speed_kmh: 80,
  recommended_speed_kmh: 80,
  recommended_status: 'restricted',
  reason: 'The sag at P2 is a track defect.',
  speeds_hold: 'Speeds hold for trains in either direction.',
  lowered_because: null,
  supersedes: null,
};
