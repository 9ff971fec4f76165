import type { Track } from './model.js';

/**
 * (4 EI / k)^(1/4) of a beam on elastic foundation, m (Winkler beam, any text on beams on elastic foundation).
 *
 * @param rigidity EI, N m2
 * @param stiffness k, N/m per metre
 */
function characteristicLength(rigidity: number, stiffness: number): number {
  return ((4 * rigidity) / stiffness) ** 0.25;
}

/** Of the rail on its fastenings as built. */
export function characteristicLengthOfRail({ rail, fastening }: Track): number {
  return characteristicLength(rail.flexuralRigidity, fastening.stiffness / fastening.spacing);
}

/** Of the rail on its fastenings, or of rail and slab on the bedding, whichever is longer; as built. */
export function characteristicLengthOfTrack(track: Track): number {
  const { rail, slab, bedding } = track;
  const ofRail = characteristicLengthOfRail(track);
  if (!slab || !bedding) return ofRail;
  const both = slab.flexuralRigidity + rail.flexuralRigidity;
  return Math.max(ofRail, characteristicLength(both, bedding.stiffnessPerLength));
}
