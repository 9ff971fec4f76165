import FFT from 'fft.js';
import { railSpectra } from '../../../../scenarios/library/rail-spectra.js';
import { buildConsist } from '../../../../solver/vehicle/build-consist.js';
import { irregularityProfile, samplePeriod } from '../../../../solver/vehicle/track-irregularity.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { steadyCarMotion } from '../../models/steady-car-motion.js';
import { car, coupledModel, startRun } from '../../models/vehicles.js';
import { uniformSpans, viaductOf } from '../../models/viaducts.js';

const speed = 40;
const band = { shortestWave: 3, longestWave: 70 };
const seed = 7;
/** One-third octaves of wavelength, m: mean power in each. */
const bands: readonly (readonly [number, number])[] = [
  [40, 63],
  [20, 31.5],
  [10, 16],
  [5, 8],
  [3, 4],
];

/** Densities written out once more: FRA k A Wc^2 / (W^2 (W^2 + Wc^2)), German A Wc^2 / ((W^2 + Wr^2)(W^2 + Wc^2)), m^2 per rad/m. */
const densities = {
  'fra-5': (w: number) => (0.25 * 0.2095e-4 * 0.8245 ** 2) / (w ** 2 * (w ** 2 + 0.8245 ** 2)),
  'german-high': (w: number) => (1.08e-6 * 0.8246 ** 2) / ((w ** 2 + 0.0206 ** 2) * (w ** 2 + 0.8246 ** 2)),
} as const;
type Name = keyof typeof densities;

const profileOf = (name: Name) =>
  irregularityProfile({ kind: 'sample', spectrum: railSpectra[name].density, seed, ...band });

/** Mean square of the sample's waves between two wavelengths, by the transform of 8192 levels over one period. */
function powerOfSample(name: Name, [from, to]: readonly [number, number]): number {
  const count = 8192;
  const profile = profileOf(name);
  const transform = new FFT(count);
  const levels = Array.from({ length: count }, (_, k) => profile.levelAt((k * samplePeriod) / count));
  const spectrum: number[] = transform.createComplexArray();
  transform.realTransform(spectrum, levels);
  let power = 0;
  for (let k = Math.ceil(samplePeriod / to - 0.5); k < samplePeriod / from - 0.5; k++)
    power += 2 * ((spectrum[2 * k]! / count) ** 2 + (spectrum[2 * k + 1]! / count) ** 2);
  return power;
}

/** Integral of the density over the wave numbers that those lines stand for, by Simpson's rule. */
function powerOfDensity(name: Name, [from, to]: readonly [number, number]): number {
  const spacing = (2 * Math.PI) / samplePeriod;
  const low = (Math.ceil(samplePeriod / to - 0.5) - 0.5) * spacing;
  const high = (Math.ceil(samplePeriod / from - 0.5) - 0.5) * spacing;
  const parts = 2000;
  const step = (high - low) / parts;
  let sum = 0;
  for (let k = 0; k <= parts; k++)
    sum += (k === 0 || k === parts ? 1 : k % 2 === 1 ? 4 : 2) * densities[name](low + k * step);
  return (sum * step) / 3;
}

/** Root mean square over one period of the sample, once the start has died away. */
function simulated(): { readonly overBogie: number; readonly wheelForce: number } {
  const settled = 600;
  const coupled = coupledModel(
    viaductOf(uniformSpans([20])),
    buildConsist([car]),
    {},
    profileOf('fra-5'),
    samplePeriod + settled + 100,
  );
  const timeStep = 1e-3;
  const { line, system, consist } = coupled;
  const before = samplePeriod + settled + 5;
  const run = startRun(coupled, speed, timeStep, -before / line.step);
  for (let k = 0; k < settled / speed / timeStep; k++) run.step();
  const steps = samplePeriod / speed / timeStep;
  const { component, lever } = system.floor[0]!;
  const { acceleration } = run.components[component]!;
  let squares = 0;
  let forces = 0;
  for (let k = 0; k < steps; k++) {
    run.step();
    squares += (acceleration[lever.heave]! + lever.arm * acceleration[lever.pitch]!) ** 2;
    forces += (run.contactForces[0]! - consist.wheels[0]!.load) ** 2;
  }
  return { overBogie: Math.sqrt(squares / steps), wheelForce: Math.sqrt(forces / steps) };
}

/** The same from the frequency response and the density, wave by wave. */
function expected(): { readonly overBogie: number; readonly wheelForce: number } {
  const spacing = (2 * Math.PI) / samplePeriod;
  let overBogie = 0;
  let wheelForce = 0;
  for (let k = Math.ceil(samplePeriod / band.longestWave); k <= samplePeriod / band.shortestWave; k++) {
    const power = densities['fra-5'](k * spacing) * spacing;
    const response = steadyCarMotion(1, speed, samplePeriod / k);
    overBogie += power * response.overBogie ** 2;
    wheelForce += power * response.wheelForce ** 2;
  }
  return { overBogie: Math.sqrt(overBogie), wheelForce: Math.sqrt(wheelForce) };
}

export const irregularTrack: VerificationCase = {
  id: 'irregular-track',
  title: 'Sampled rail irregularity and a car on it',
  source:
    'Random vibration: mean square response = integral of |H|^2 S, D. E. Newland, An Introduction to Random Vibrations and Spectral Analysis, chapter 7 (mem); densities of the Federal Railroad Administration and the German ones (mem), written out again; frequency response from the complex dynamic stiffness (derived here)',
  statement: `A sample (seed ${seed}, waves of ${band.shortestWave} to ${band.longestWave} m) repeats after ${samplePeriod} m. Mean square of its waves per band from a Fourier transform, against the integral of the density. A four-axle car at ${speed} m/s over the sample of FRA class 5 on rigid ground: root mean square over one period of acceleration over the leading bogie and of the surplus under the leading wheelset.`,
  evaluate: () => {
    const computed = simulated();
    const reference = expected();
    const names: readonly Name[] = ['fra-5', 'german-high'];
    return {
      quantities: [
        ...names.flatMap((name) =>
          bands.map((one) => ({
            name: `${railSpectra[name].title}: mean square of waves from ${one[0]} to ${one[1]} m`,
            unit: 'm2',
            reference: powerOfDensity(name, one),
            computed: powerOfSample(name, one),
            tolerance: relative(5e-3),
            why: 'Lines a two-thousandth of a rad/m apart stand for a curve; the longest band has 19 of them',
          })),
        ),
        {
          name: 'Acceleration over the leading bogie, root mean square',
          unit: 'm/s2',
          reference: reference.overBogie,
          computed: computed.overBogie,
          tolerance: relative(1e-2),
          why: 'The shortest wave takes 75 time steps; waves are cubic between samples 0.1 m apart',
        },
        {
          name: 'Surplus under the leading wheelset, root mean square',
          unit: 'N',
          reference: reference.wheelForce,
          computed: computed.wheelForce,
          tolerance: relative(1e-2),
          why: 'As before',
        },
      ],
    };
  },
};
