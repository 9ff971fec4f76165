/** Shares in the sinking of the line at the end of a step, see `WheelContact`. */
export interface SinkingShares {
  /** Of itself at the start. */
  readonly kept: number;
  /** Of what the force at the end, and that at the start, would come to. */
  readonly followed: number;
  readonly followedBefore: number;
}

/**
 * s + tau s' = p over a step in which p is linear, exactly.
 *
 * @param relaxation tau, s; 0 follows at once
 * @param timeStep s
 */
export function sinkingShares(relaxation: number, timeStep: number): SinkingShares {
  const ratio = relaxation / timeStep;
  const kept = ratio > 0 ? Math.exp(-1 / ratio) : 0;
  const late = (1 - kept) * ratio;
  return { kept, followed: 1 - late, followedBefore: late - kept };
}
