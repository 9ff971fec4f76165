import type { BearingPlace, Support } from './model.js';

/**
 * Stiffness of a rigid bearing that stands alone, N/m: it holds one point beside the axis, which no single freedom describes.
 * The stiffest support that a scenario may give.
 */
export const rigidBearing = 1e13;

/** Whether the support carries anything at all, lift-off aside. */
export function carries(support: Support): boolean {
  return support.bearing && support.stiffness > 0;
}

/** Sides on which the bearings of a deck end still stand: `only`, or any of left and right. */
export function standingSides(support: Support, end: BearingPlace['end']): readonly BearingPlace['side'][] {
  if (!carries(support)) return [];
  const all = support.bearingSpread === undefined ? (['only'] as const) : (['left', 'right'] as const);
  return all.filter(
    (side) =>
      side !== support.lostBearing &&
      !support.lifted?.some((place) => place.end === end && place.side === side),
  );
}

/** y of a bearing. */
export function bearingOffset(support: Support, side: BearingPlace['side']): number {
  const half = (support.bearingSpread ?? 0) / 2;
  return side === 'left' ? -half : side === 'right' ? half : 0;
}

/** Stiffness under one bearing of a support: two bearings share it. */
export function bearingStiffness(support: Support): number {
  return support.bearingSpread === undefined ? support.stiffness : support.stiffness / 2;
}

/** Stiffness that is left of a support: half of it where all bearings of one side are gone. */
export function standingStiffness(support: Support): number {
  const ends = support.joint ? (['left', 'right'] as const) : (['only'] as const);
  const sides = new Set(ends.flatMap((end) => standingSides(support, end)));
  return sides.size === 1 ? bearingStiffness(support) : support.stiffness;
}

/** Tension one line of bearings may take: a support's resistance is shared by the deck ends at a joint and by two bearings. */
export function upliftResistance(support: Support, { end, side }: BearingPlace): number {
  return support.upliftResistance / (end === 'only' ? 1 : 2) / (side === 'only' ? 1 : 2);
}
