import type { RunningLine } from './running-line.js';
import type { VehicleSystem } from './vehicle-system.js';

/** Periods of the slowest vehicle motion: bodies damped by a tenth and more have lost nine tenths of what the start gave them. */
const settlingPeriods = 4;

/** m before the line at which a run over an irregular track starts. */
export function settlingDistance(line: RunningLine, system: VehicleSystem, speed: number): number {
  return line.settling ? runUp(system, speed) : 0;
}

/** m of profile needed before and after the line for speeds up to the given one, for a train of this length. */
export function profileMargin(system: VehicleSystem, highestSpeed: number, trainLength: number): number {
  return trainLength + runUp(system, highestSpeed) + 1;
}

/** m over which the irregularity rises under a train that starts: one period of its slowest motion, 10 m at a creep. */
export function risingDistance(system: VehicleSystem, speed: number): number {
  return Math.max(10, speed / system.slowestFrequency);
}

/** m in which the irregularity rises under the train and the train then settles on it. */
function runUp(system: VehicleSystem, speed: number): number {
  return risingDistance(system, speed) + (settlingPeriods * speed) / system.slowestFrequency;
}
