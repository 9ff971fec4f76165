import type { ContractFields } from './contract-fields.js';
import { type FlatEntry, type FlatValue, flattenContract } from './flatten-contract.js';
import { type Tolerance, type ToleranceName, tolerances, withinTolerance } from './tolerances.js';

/** One quantity that moved. */
export interface Movement {
  readonly place: string;
  readonly quantity: string;
  /** Undefined: it was not there. */
  readonly before: FlatValue | undefined;
  /** Undefined: it is not there any more. */
  readonly now: FlatValue | undefined;
  /** (now - before) / |before|; null where that means nothing. */
  readonly relative: number | null;
  readonly family: ToleranceName;
  readonly tolerance: Tolerance;
  /** Drift stays within the tolerance; a change does not. */
  readonly verdict: 'drift' | 'change';
}

export interface CompareOptions {
  /**
   * 'before': every swept speed of the first must be among the second's (a baseline holds the speeds that were asked for).
   * 'common': only speeds that both have are compared (two results, each refined in its own way).
   */
  readonly sweptSpeeds: 'before' | 'common';
}

/** Numbers of a file agree to this many digits when nothing moved; far finer than any tolerance. */
export const significantDigits = 8;

/** What moved between two results, in the order of the first; empty when nothing did. */
export function compareContracts(
  before: ContractFields,
  now: ContractFields,
  options: CompareOptions,
): Movement[] {
  const old = flattenContract(before);
  const fresh = flattenContract(now);
  const movements: Movement[] = [];
  for (const [key, entry] of old) {
    const other = fresh.get(key);
    if (other === undefined && entry.sweptAt !== undefined && options.sweptSpeeds === 'common') continue;
    const movement = moved(entry, entry.value, other?.value);
    if (movement) movements.push(movement);
  }
  for (const [key, entry] of fresh) {
    // A new swept quantity shows in its largest value.
    if (old.has(key) || entry.sweptAt !== undefined) continue;
    // Results of former versions have no stretch in metres, and say nothing of it.
    if (entry.family === 'stretch_m') continue;
    const movement = moved(entry, undefined, entry.value);
    if (movement) movements.push(movement);
  }
  return movements;
}

function moved(
  { place, quantity, family }: FlatEntry,
  before: FlatValue | undefined,
  now: FlatValue | undefined,
): Movement | null {
  const tolerance = tolerances[family];
  const about = { place, quantity, before, now, family, tolerance };
  if (typeof before === 'number' && typeof now === 'number') {
    const [a, b] = [rounded(before), rounded(now)];
    if (a === b) return null;
    return {
      ...about,
      relative: a === 0 ? null : (b - a) / Math.abs(a),
      verdict: withinTolerance(a, b, tolerance) ? 'drift' : 'change',
    };
  }
  if (before === now) return null;
  const reworded =
    family === 'worded' && typeof before === 'string' && typeof now === 'string'
      ? sameWords(before, now, tolerance)
      : false;
  return { ...about, relative: null, verdict: reworded ? 'drift' : 'change' };
}

/** A value as a baseline file holds it. */
export function rounded(value: number): number {
  return Number(value.toPrecision(significantDigits));
}

/** Numbers of a sentence that stand alone; those of a name (support P2, HSLM-A1) belong to the words. */
const number = /(?<![\w.-])-?\d+(?:\.\d+)?(?:e[-+]?\d+)?(?![\w-])/g;

function sameWords(before: string, now: string, tolerance: Tolerance): boolean {
  if (before.replace(number, '#') !== now.replace(number, '#')) return false;
  const values = (text: string) => [...text.matchAll(number)].map(([digits]) => Number(digits));
  const fresh = values(now);
  return values(before).every((value, i) => withinTolerance(value, fresh[i]!, tolerance));
}
