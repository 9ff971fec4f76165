import type { AssessmentModel } from '../../scenarios/assessment-model.js';

/** For which running the speeds of a result hold, in words: direction, how long, leading end, track and trains that meet. */
export function speedsHold({ viaduct, meeting }: AssessmentModel): string {
  // Passages run at one speed to the last axle, which is where a resonance has grown most.
  const run =
    'Speeds hold for trains in either direction until their last axle has left the stretch, each led by the end that leads in the scenario';
  if ((viaduct.tracks?.length ?? 1) < 2) return `${run}.`;
  const met =
    meeting === 'one-track'
      ? 'as long as no trains meet on the deck'
      : 'also where trains of one kind meet on the deck at the same speed';
  return `${run}, and on every track, ${met}.`;
}
