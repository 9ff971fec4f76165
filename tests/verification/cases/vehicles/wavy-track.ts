import { buildConsist } from '../../../../solver/vehicle/build-consist.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { steadyCarMotion } from '../../models/steady-car-motion.js';
import { car, coupledModel, startRun } from '../../models/vehicles.js';
import { uniformSpans, viaductOf } from '../../models/viaducts.js';

const amplitude = 1e-3;
const speed = 40;
const wavelengths = [4, 8, 12, 30, 50];

/** Amplitudes over the last waves of a long run on rigid ground. */
function simulated(wavelength: number) {
  const period = wavelength / speed;
  const duration = 14;
  const coupled = coupledModel(
    viaductOf(uniformSpans([20])),
    buildConsist([car]),
    {},
    {
      levelAt: (x) => amplitude * Math.cos((2 * Math.PI * x) / wavelength),
      everywhere: true,
      shortestWave: wavelength,
    },
    speed * duration + 100,
  );
  const timeStep = Math.min(period / 200, 1e-3);
  const { line } = coupled;
  const run = startRun(coupled, speed, timeStep, -(speed * duration + 5) / line.step);
  const steps = Math.floor(duration / timeStep);
  const last = Math.ceil((3 * period) / timeStep);
  const most = { overBogie: 0, middle: 0, wheelForce: 0 };
  for (let k = 0; k < steps; k++) {
    run.step();
    if (k < steps - last) continue;
    coupled.system.floor.forEach(({ component, lever }, point) => {
      const { acceleration } = run.components[component]!;
      const value = Math.abs(acceleration[lever.heave]! + lever.arm * acceleration[lever.pitch]!);
      if (point === 0) most.overBogie = Math.max(most.overBogie, value);
      if (point === 1) most.middle = Math.max(most.middle, value);
    });
    const surplus = Math.abs(run.contactForces[0]! - coupled.consist.wheels[0]!.load);
    most.wheelForce = Math.max(most.wheelForce, surplus);
  }
  return most;
}

/** The vehicle alone, against algebra. */
export const wavyTrack: VerificationCase = {
  id: 'wavy-track',
  title: 'Car on a rigid wavy track',
  source: 'Complex dynamic stiffness of the ten degrees of freedom, written out for this car (derived here)',
  statement: `A four-axle car at ${speed} m/s over z = 1 mm cos(2 pi x / lambda) on rigid ground, linear contact. Amplitudes in the steady state of the body's acceleration over the leading bogie and in the middle, and of the force under the leading wheelset, for waves from ${wavelengths[0]} m to ${wavelengths[wavelengths.length - 1]} m.`,
  evaluate: () => ({
    quantities: wavelengths.flatMap((wavelength) => {
      const reference = steadyCarMotion(amplitude, speed, wavelength);
      const computed = simulated(wavelength);
      const why =
        'At least 200 steps per wave; waves are cubic between samples 0.1 m apart; 14 s leave 1e-3 of the start';
      return [
        {
          name: `Acceleration over the leading bogie, wave ${wavelength} m`,
          unit: 'm/s2',
          reference: reference.overBogie,
          computed: computed.overBogie,
          tolerance: relative(5e-3),
          why,
        },
        {
          name: `Acceleration in the middle, wave ${wavelength} m`,
          unit: 'm/s2',
          reference: reference.middle,
          computed: computed.middle,
          tolerance: relative(5e-3),
          why,
        },
        {
          name: `Force under the leading wheelset, wave ${wavelength} m`,
          unit: 'N',
          reference: reference.wheelForce,
          computed: computed.wheelForce,
          tolerance: relative(5e-3),
          why,
        },
      ];
    }),
  }),
};
