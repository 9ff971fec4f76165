import FFT from 'fft.js';
import { seededRandom } from '../arithmetic/random.js';
import { type RailSpectrum, railDensity } from './rail-spectrum.js';
import type { TrackProfile } from './running-line.js';
import { smoothlyBetween } from './smooth-interpolation.js';

/** A sample of a density: the same seed gives the same rail. */
export interface SampledIrregularity {
  readonly kind: 'sample';
  readonly spectrum: RailSpectrum;
  /** Whole number above 0. */
  readonly seed: number;
  /** m, shortest and longest wave. */
  readonly shortestWave: number;
  readonly longestWave: number;
}

/** A measured profile at equal distances, downwards positive, m. */
export interface MeasuredIrregularity {
  readonly kind: 'profile';
  /** x of the first level. */
  readonly from: number;
  readonly step: number;
  readonly levels: Float64Array;
}

export type TrackIrregularity = SampledIrregularity | MeasuredIrregularity;

/** m after which a sampled rail repeats itself; its waves are the whole fractions of this length. */
export const samplePeriod = 2048;

/** Samples per shortest wave: the cubic between them is then right to 1e-4 of the wave. */
const samplesPerWave = 32;
/** m: waves shorter than the contact and the rail's bending between seats smooth out are not followed in a measured profile. */
const shortestMeasuredWave = 1;

/** m: shortest wave that is followed in a profile measured at this step, m. */
export function shortestWaveMeasuredAt(step: number): number {
  return Math.max(shortestMeasuredWave, 4 * step);
}

/** The irregularity as what wheels run over, before, on and behind the structure. */
export function irregularityProfile(irregularity: TrackIrregularity): TrackProfile {
  return irregularity.kind === 'sample' ? sampled(irregularity) : measured(irregularity);
}

/** Both together; null only where there is neither. */
export function bothProfiles(a: TrackProfile | null, b: TrackProfile | null): TrackProfile | null {
  if (a === null || b === null) return a ?? b;
  return {
    levelAt: (x) => a.levelAt(x) + b.levelAt(x),
    everywhere: a.everywhere || b.everywhere,
    shortestWave: Math.min(a.shortestWave, b.shortestWave),
  };
}

/**
 * Spectral representation with random phases: z(x) = sum of (2 S(W_k) dW)^(1/2) cos(W_k x + phase_k), dW = 2 pi / period, so that every
 * sample has the density itself as its spectrum. M. Shinozuka and G. Deodatis, Applied Mechanics Reviews 44(4), 1991 (mem).
 */
function sampled({ spectrum, seed, shortestWave, longestWave }: SampledIrregularity): TrackProfile {
  const count = 2 ** Math.ceil(Math.log2((samplesPerWave * samplePeriod) / shortestWave));
  const transform = new FFT(count);
  const waves: number[] = transform.createComplexArray();
  const levels: number[] = transform.createComplexArray();
  waves.fill(0);
  const random = seededRandom(seed);
  // The first numbers of small seeds resemble each other.
  for (let k = 0; k < 20; k++) random();
  const spacing = (2 * Math.PI) / samplePeriod;
  const last = Math.floor(samplePeriod / shortestWave);
  for (let k = Math.ceil(samplePeriod / longestWave); k <= last; k++) {
    const amplitude = Math.sqrt(2 * railDensity(spectrum, k * spacing) * spacing);
    const phase = Math.PI * random();
    // The transform divides by the number of samples.
    waves[2 * k] = count * amplitude * Math.cos(phase);
    waves[2 * k + 1] = count * amplitude * Math.sin(phase);
  }
  transform.inverseTransform(levels, waves);
  // Three samples of the next period, and one of the one before, for the cubic across the seam.
  const table = Float64Array.from({ length: count + 3 }, (_, k) => levels[2 * ((k + count - 1) % count)]!);
  const perMetre = count / samplePeriod;
  return {
    everywhere: true,
    shortestWave,
    levelAt(x) {
      const within = x - samplePeriod * Math.floor(x / samplePeriod);
      return smoothlyBetween(table, 1 + within * perMetre);
    },
  };
}

/** Beyond its ends a measured profile goes on as its own mirror image: a train then comes from rail of the same roughness. */
function measured({ from, step, levels }: MeasuredIrregularity): TrackProfile {
  const last = levels.length - 1;
  return {
    everywhere: true,
    shortestWave: shortestWaveMeasuredAt(step),
    levelAt(x) {
      const position = (x - from) / step;
      const folded = position - 2 * last * Math.floor(position / (2 * last));
      return smoothlyBetween(levels, folded > last ? 2 * last - folded : folded);
    },
  };
}
