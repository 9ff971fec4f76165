import { type ObjectiveTerms, relievedTerms } from './objective-entries.js';

/** What a moment may use up in either direction, N m; null where nothing is known. */
export interface MomentResistance {
  readonly sagging: number | null;
  readonly hogging: number | null;
}

/** The terms of a moment's utilisation, with what dead load uses up as the offset; none for a direction whose resistance is not known. */
export function momentTerms({ sagging, hogging }: MomentResistance, dead: number): ObjectiveTerms {
  return [
    ...(sagging === null ? [] : [{ weight: 1 / sagging, offset: dead / sagging }]),
    ...(hogging === null ? [] : [{ weight: -1 / hogging, offset: -dead / hogging }]),
  ];
}

/** The terms of the direction that dead load relieves, where the share of its resistance may be used up. */
export function relievedMomentTerms(
  { sagging, hogging }: MomentResistance,
  dead: number,
  share: number,
): ObjectiveTerms {
  return [
    ...(sagging === null ? [] : relievedTerms(1, dead, share * sagging)),
    ...(hogging === null ? [] : relievedTerms(-1, -dead, share * hogging)),
  ];
}

/** What dead load and train ask for, each direction positive. */
export function momentDemands(dead: number, largest: number, smallest: number) {
  return [
    ['sagging', { dead, train: Math.max(0, largest) }],
    ['hogging', { dead: -dead, train: -Math.min(0, smallest) }],
  ] as const;
}
