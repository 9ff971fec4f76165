import type { Consist } from './consist.js';
import type { RunningLine } from './running-line.js';
import { sinkingShares } from './sinking-shares.js';

/**
 * Longest time step, s, with which wheels stay on the line's modes. Modes under a force linear over the step give way by sum(phi^2) h^2 / 6 per force
 * at its end, as in the linear acceleration method; on a spring of stiffness k that is stable while k sum(phi^2) h^2 < 12 (N. M. Newmark,
 * Journal of the Engineering Mechanics Division 85(3), 1959, beta 1/6). The spring between a wheel and the modes is its contact and what the
 * line sinks beyond its modes within the step. Light rails over lost fastenings come near the limit, with two wheels on the same
 * modes at half of it, and the lag of the sinking takes some more: a sixth is left of it.
 *
 * @param wanted s, longer than 0: no longer than this
 */
export function stableTimeStep(line: RunningLine, { wheels }: Consist, wanted: number): number {
  const hardest = wheels.reduce((most, { stiffness }) => Math.max(most, stiffness), 0);
  let step = wanted;
  for (let round = 0; round < mostRounds; round++) {
    const next = Math.min(step, longestAt(line, hardest, step));
    if (next > (1 - settled) * step) return next;
    step = next;
  }
  return step;
}

/** Of 12. */
const limit = 2;
const mostRounds = 20;
const settled = 1e-3;

/** What the limit allows where the line sinks as much as it does within a given step; shorter steps are allowed less. */
function longestAt(
  { inverseMass, residual, relaxation }: RunningLine,
  hardest: number,
  step: number,
): number {
  const { followed } = sinkingShares(relaxation, step);
  let least = Number.POSITIVE_INFINITY;
  for (let k = 0; k < residual.length; k++)
    least = Math.min(least, (1 / hardest + followed * residual[k]!) / inverseMass[k]!);
  return Math.sqrt(limit * least);
}
