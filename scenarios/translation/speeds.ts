import type { Scenario } from '../scenario.js';

/** Two speeds below this are the same, km/h. */
const same = 1e-6;

/** The speeds asked for, ascending, km/h: from the first by the step, and the last one whatever the step. */
export function speedGrid(scenario: Scenario): readonly number[] {
  const { from_kmh: from, to_kmh: given, step_kmh: step } = scenario.speeds;
  const to = given ?? scenario.decision.overspeed_factor * scenario.line.speed_kmh;
  const start = Math.min(from, to);
  const count = Math.floor((to - start) / step + same) + 1;
  const grid = Array.from({ length: count }, (_, index) => Number((start + index * step).toFixed(9)));
  if (to - grid.at(-1)! > same) grid.push(to);
  return grid;
}
