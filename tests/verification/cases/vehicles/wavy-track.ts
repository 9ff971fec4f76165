import { Matrix, solve } from 'ml-matrix';
import { buildConsist } from '../../../../solver/vehicle/build-consist.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { car, coupledModel, startRun } from '../../models/vehicles.js';
import { uniformSpans, viaductOf } from '../../models/viaducts.js';

const amplitude = 1e-3;
const speed = 40;
const wavelengths = [4, 8, 12, 30, 50];

/**
 * Steady motion over z = a cos(2 pi x / lambda) from the complex dynamic stiffness, written out for this car: body z, pitch; two bogies
 * z, pitch; four wheels z. Arms are positive towards the leading end.
 */
function steadyState(wavelength: number) {
  const omega = (2 * Math.PI * speed) / wavelength;
  const half = car.bogieDistance / 2;
  const base = car.bogieWheelbase / 2;
  const wheelAt = [half + base, half - base, -half + base, -half - base];
  // Real form of the complex system: [A -B; B A] [re; im] = [f; g].
  const stiffness = Matrix.zeros(10, 10);
  const damping = Matrix.zeros(10, 10);
  const add = (vector: readonly number[], k: number, c: number) => {
    for (let i = 0; i < 10; i++) {
      for (let j = 0; j < 10; j++) {
        stiffness.set(i, j, stiffness.get(i, j) + k * vector[i]! * vector[j]!);
        damping.set(i, j, damping.get(i, j) + c * vector[i]! * vector[j]!);
      }
    }
  };
  const unit = (entries: Readonly<Record<number, number>>) =>
    Array.from({ length: 10 }, (_, i) => entries[i] ?? 0);
  const k2 = car.secondaryStiffness;
  const c2 = car.secondaryDamping;
  add(unit({ 0: 1, 1: half, 2: -1 }), k2, c2);
  add(unit({ 0: 1, 1: -half, 4: -1 }), k2, c2);
  const k1 = car.primaryStiffness;
  const c1 = car.primaryDamping;
  add(unit({ 2: 1, 3: base, 6: -1 }), k1, c1);
  add(unit({ 2: 1, 3: -base, 7: -1 }), k1, c1);
  add(unit({ 4: 1, 5: base, 8: -1 }), k1, c1);
  add(unit({ 4: 1, 5: -base, 9: -1 }), k1, c1);
  for (let wheel = 6; wheel < 10; wheel++) add(unit({ [wheel]: 1 }), car.contactStiffness, 0);
  const masses = [
    car.bodyMass,
    car.bodyPitchInertia,
    car.bogieMass,
    car.bogiePitchInertia,
    car.bogieMass,
    car.bogiePitchInertia,
    ...new Array<number>(4).fill(car.wheelsetMass),
  ];
  const system = Matrix.zeros(20, 20);
  const right = Matrix.zeros(20, 1);
  for (let i = 0; i < 10; i++) {
    for (let j = 0; j < 10; j++) {
      const real = stiffness.get(i, j) - (i === j ? omega * omega * masses[i]! : 0);
      const imaginary = omega * damping.get(i, j);
      system.set(i, j, real);
      system.set(i + 10, j + 10, real);
      system.set(i, j + 10, -imaginary);
      system.set(i + 10, j, imaginary);
    }
  }
  wheelAt.forEach((at, k) => {
    const phase = (2 * Math.PI * at) / wavelength;
    right.set(6 + k, 0, car.contactStiffness * amplitude * Math.cos(phase));
    right.set(16 + k, 0, car.contactStiffness * amplitude * Math.sin(phase));
  });
  const u = solve(system, right);
  const complexSize = (real: number, imaginary: number) => Math.hypot(real, imaginary);
  const frontPhase = (2 * Math.PI * wheelAt[0]!) / wavelength;
  return {
    overBogie: omega ** 2 * complexSize(u.get(0, 0) + half * u.get(1, 0), u.get(10, 0) + half * u.get(11, 0)),
    middle: omega ** 2 * complexSize(u.get(0, 0), u.get(10, 0)),
    wheelForce:
      car.contactStiffness *
      complexSize(
        u.get(6, 0) - amplitude * Math.cos(frontPhase),
        u.get(16, 0) - amplitude * Math.sin(frontPhase),
      ),
  };
}

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
      const reference = steadyState(wavelength);
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
