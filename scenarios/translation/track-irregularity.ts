import { samplePeriod, shortestWaveMeasuredAt } from '../../solver/vehicle/track-irregularity.js';
import type { AssessmentModel } from '../assessment-model.js';
import { railSpectra } from '../library/rail-spectra.js';
import type { Scenario } from '../scenario.js';

/** The rail's irregularity in metres, with the sentence that the cautions carry; null where the scenario gives none. */
export function irregularityOf({ track_irregularity: given }: Scenario): AssessmentModel['irregularity'] {
  if (given?.sample) {
    const { spectrum, seed, from_wavelength_m: shortestWave, to_wavelength_m: longestWave } = given.sample;
    const { title, density, source } = railSpectra[spectrum];
    return {
      rail: { kind: 'sample', spectrum: density, seed, shortestWave, longestWave },
      description: `a sample (seed ${seed}) of the vertical irregularity ${title}, waves of ${shortestWave} to ${longestWave} m, that repeats after ${samplePeriod} m. ${withoutShorterWaves(shortestWave)} Another seed gives other wheel unloading and comfort: run several before relying on one. Source: ${source}.`,
    };
  }
  if (given?.profile) {
    const { from_m: from, step_m: step, level_mm } = given.profile;
    const to = from + step * (level_mm.length - 1);
    return {
      rail: { kind: 'profile', from, step, levels: Float64Array.from(level_mm, (level) => level / 1e3) },
      description: `the profile given from ${from} m to ${Number(to.toFixed(3))} m, continued beyond its ends by its mirror image. ${roughShorterWaves(shortestWaveMeasuredAt(step))} It holds for the day on which it was measured.`,
    };
  }
  return null;
}

/** Over a sample of FRA class 5 from 1 m, a car at 200 km/h loses two to three times the wheel load that it loses over one from 3 m. */
const withoutShorterWaves = (metres: number): string =>
  `Waves shorter than ${Number(metres.toFixed(3))} m (welds, joints, worn rail) are not followed, and wheel unloading hangs on them more than on longer ones.`;

/**
 * Levels of a rail that unloads a car by 0.05 of its wheel load at 150 km/h, rounded to whole millimetres at 0.05 or 0.25 m, unload it wholly,
 * to tenths by 0.15 to 0.18; sines of 0.15 to 0.2 m came out up to 1.7 times too strong against a fine time step.
 */
const roughShorterWaves = (metres: number): string =>
  `Waves shorter than ${Number(metres.toFixed(3))} m (welds, joints, worn rail) are in the wheel forces only roughly, mostly too strongly, and so are noise and rounding of the levels: whole millimetres alone can unload a wheel entirely. Give levels to a hundredth of a millimetre, without noise.`;
