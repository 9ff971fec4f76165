import type { Recommendation, Result, TrainResult } from '../../scenarios/result.js';
import { checkNames } from './wording.js';

/**
 * What holds a train, in words: the check that governs or, where none fails, the end of the speeds that were assessed (of the sweep, or
 * of what static load models speak for). Null where nothing does.
 */
export function governingWords(train: TrainResult): string | null {
  if (train.governing === null) return null;
  const name = checkNames[train.governing];
  return isHeldByEnd(train) ? `End of what was assessed (closest: ${name.toLowerCase()})` : name;
}

/** The same for a recommendation, which is that of its governing train. */
export function recommendationGovernedBy(row: Recommendation, { cases }: Result): string | null {
  const train = cases
    .find((one) => one.damage_case === row.damage_case)
    ?.trains.find((one) => one.train === row.governing_train);
  if (train) return governingWords(train);
  return row.governing === null ? null : checkNames[row.governing];
}

/** Whether a train is held below line speed although every speed that was assessed passes. */
export function isHeldByEnd({ status, sweep, checks, blocked_bands_kmh: bands }: TrainResult): boolean {
  if (status === 'line-speed' || status === 'undetermined') return false;
  const fails = checks.some(({ kind, utilisation }) => kind === 'safety' && (utilisation ?? 0) > 1);
  return sweep.speed_kmh.length > 0 && bands.length === 0 && !fails;
}
