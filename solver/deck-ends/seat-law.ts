/**
 * Force between rail and base at a pair of seats. Down to the clamping force the pad stays compressed and the fastening acts as
 * the linear one does; then the pad is free and the clips hold the rail with what they were clamped with. Force and stretch are positive
 * in compression.
 */
export interface SeatLaw {
  /** N/m: as in the linear model, in pull until the pad is free. */
  readonly stiffness: number;
  /** N/m: under more than the clamping. */
  readonly compressionStiffness: number;
  /** N: the most that the clips pull with. */
  readonly clampingForce: number;
}

/** Which straight piece of the law holds: the pad is free, the fastening pulls, or it presses. */
export type SeatState = 'released' | 'pulling' | 'pressing';

export function seatState({ stiffness, clampingForce }: SeatLaw, stretch: number): SeatState {
  if (stretch >= 0) return 'pressing';
  return stiffness * stretch >= -clampingForce ? 'pulling' : 'released';
}

/** N/m: slope of the piece that holds. */
export function seatSlope(law: SeatLaw, state: SeatState): number {
  if (state === 'pressing') return law.compressionStiffness;
  return state === 'pulling' ? law.stiffness : 0;
}

/** N */
export function seatForce(law: SeatLaw, stretch: number): number {
  const state = seatState(law, stretch);
  return state === 'released' ? -law.clampingForce : seatSlope(law, state) * stretch;
}
