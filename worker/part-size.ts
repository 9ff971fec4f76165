import type { AssessmentModel } from '../scenarios/assessment-model.js';
import { kmhPerMetrePerSecond } from '../scenarios/speed-units.js';
import { supportPositions } from '../solver/statics/dead-load.js';

/** Seconds of work that a part aims at: long against handing it out, short against losing it. */
const wantedSeconds = 4;
/** Speeds that refinement adds to the grid, as it does in the demo. */
const refinedSpeeds = 50;
/** Time steps per second of passage: eight per period of the code's 30 Hz. */
const stepsPerSecond = 240;
/** Measured on the demo: one time step of one span with track, screening and modes together. */
const secondsPerSpanAndStep = 6e-7;

/** Passages on a track, in units of one direction, where trains meet: each is run three times and looked at more closely. */
const meetingCost = 8;

/**
 * How many trains of one case make a part of a few seconds, from the number of speeds, bounds, spans and the length of the passages.
 * A rough estimate: parts may take from a third to three times as long.
 */
export function trainsForOnePart(model: AssessmentModel): number {
  const dearest = model.trains.reduce((most, entry) => Math.max(most, estimatedSeconds(model, entry)), 0);
  return Math.max(1, Math.min(model.trains.length, Math.floor(wantedSeconds / Math.max(dearest, 1e-3))));
}

function estimatedSeconds(model: AssessmentModel, entry: AssessmentModel['trains'][number]): number {
  if (entry.kind === 'static') return 0.5;
  const positions = supportPositions(model.viaduct);
  const train = entry.train.positions[entry.train.positions.length - 1]!;
  const distance = positions[positions.length - 1]! + train;
  const { bounds, speedsKmh } = model;
  const variants = bounds.stiffnessFactors.length * bounds.massFactors.length * bounds.dampingFactors.length;
  const meanInverse =
    speedsKmh.reduce((sum, speed) => sum + kmhPerMetrePerSecond / speed, 0) / speedsKmh.length;
  const tracks = model.viaduct.tracks?.length ?? 1;
  const ways = tracks === 1 || model.meeting === 'one-track' ? 2 * tracks : meetingCost * tracks;
  const passages = ways * variants * (speedsKmh.length + refinedSpeeds);
  return (
    passages * distance * meanInverse * stepsPerSecond * model.viaduct.spans.length * secondsPerSpanAndStep
  );
}
