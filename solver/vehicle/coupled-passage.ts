import { type ObjectiveIndex, ObjectiveThresholds } from '../peaks/objective.js';
import type { Peaks } from '../peaks/peaks.js';
import { CoupledRun } from './coupled-run.js';
import type { CoupledSystem } from './coupled-system.js';
import type { LineModes } from './line-modes.js';
import { type Ride, RideRecorder } from './ride.js';
import { RowBlock } from './row-block.js';
import type { TrainInfluence } from './row-influence.js';
import { risingDistance, settlingDistance } from './run-up.js';
import { stableTimeStep } from './stable-step.js';

export interface CoupledPassage {
  readonly peaks: Peaks;
  readonly ride: Ride;
  /** Time steps taken. */
  readonly steps: number;
}

export interface CoupledPassageOptions {
  /** m that a wheel may move in a time step. */
  readonly longestMove?: number;
  /** Time steps per period of the highest mode that rows are looked at in. */
  readonly samplesPerPeriod?: number;
  /** Time steps per period of the highest mode under the wheels. */
  readonly samplesPerContactPeriod?: number;
  /** What the peaks are wanted for, see PassageOptions; absent: every peak of every row. */
  readonly objectives?: ObjectiveIndex;
  /** As in PassageOptions. */
  readonly atLeast?: Float64Array;
}

const defaults = { longestMove: 0.075, samplesPerPeriod: 16, samplesPerContactPeriod: 5 };
const runOutPeriods = 1.5;
/** Of the shortest wave of an irregularity; the scheme then shows it to some per cent, and longer waves better by the square. */
const stepsPerWave = 12;

/**
 * One passage of a train of vehicles at one speed, coupled: approach, crossing, free vibration of the structure and run-out
 * of the vehicles.
 *
 * @param speed m/s, above 0
 * @throws ContactConvergenceError
 */
export function runCoupledPassage(
  coupled: CoupledSystem,
  influence: TrainInfluence,
  speed: number,
  options: CoupledPassageOptions = {},
): CoupledPassage {
  const { model, line, consist, system } = coupled;
  const { longestMove, samplesPerPeriod, samplesPerContactPeriod } = { ...defaults, ...options };
  const move = Math.min(longestMove, line.shortestWave / stepsPerWave);
  const wanted = Math.min(
    shortestPeriod(model.modes) / samplesPerPeriod,
    shortestPeriod(line.modes) / samplesPerContactPeriod,
    move / speed,
  );
  const timeStep = stableTimeStep(line, consist, wanted);
  const head = -settlingDistance(line, system, speed) / line.step;
  const run = new CoupledRun(coupled, { speed, timeStep, head });
  const { objectives, atLeast } = options;
  const thresholds = objectives ? new ObjectiveThresholds(objectives, atLeast) : null;
  const rows = new RowBlock(model, influence, consist, thresholds);
  const ride = new RideRecorder(consist, system, timeStep, line.step);
  const last = consist.wheels.length - 1;
  const end = line.count - 1;
  let steps = 0;
  while (run.positions[last]! <= end) {
    run.step();
    steps++;
    rows.record(run);
    ride.record(run, run.positions[0]! >= 0);
  }
  const runOut = Math.ceil(runOutPeriods / system.slowestFrequency / timeStep);
  const longest = Math.ceil((20 * Math.PI) / model.modes.angularFrequencies[0]! / timeStep);
  for (let done = 0; done < Math.max(runOut, longest); done++) {
    if (done >= runOut && done % 16 === 0 && !rows.canRise(run)) break;
    run.step();
    steps++;
    rows.record(run);
    if (done < runOut) ride.record(run, true);
  }
  rows.evaluate();
  return { peaks: rows.peaks, ride: ride.finished(), steps };
}

/** s */
function shortestPeriod({ angularFrequencies }: Pick<LineModes, 'angularFrequencies'>): number {
  return (2 * Math.PI) / angularFrequencies[angularFrequencies.length - 1]!;
}

/**
 * The ride as v -> 0: a creeping passage, in which nothing has time to swing and modes follow their forces at once. Steps
 * follow the line.
 */
export function creepingRide(coupled: CoupledSystem): Ride {
  const { line, consist, system } = coupled;
  const timeStep = Math.min(defaults.longestMove, line.shortestWave / stepsPerWave) / creepingSpeed;
  const head = line.settling ? -risingDistance(system, 0) / line.step : 0;
  const run = new CoupledRun(coupled, { speed: creepingSpeed, timeStep, head, quasiStatic: true });
  const ride = new RideRecorder(consist, system, timeStep, line.step);
  const last = consist.wheels.length - 1;
  while (run.positions[last]! <= line.count - 1) {
    run.step();
    ride.record(run, run.positions[0]! >= 0);
  }
  return ride.finished();
}

/** m/s */
const creepingSpeed = 1;
