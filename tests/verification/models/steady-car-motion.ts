import { Matrix, solve } from 'ml-matrix';
import { car } from './vehicles.js';

/**
 * Amplitudes of the car's steady motion over z = a cos(2 pi x / lambda) on rigid ground from the complex dynamic stiffness, written out for this car: body z, pitch; two bogies
 * z, pitch; four wheels z. Arms are positive towards the leading end.
 */
export function steadyCarMotion(amplitude: number, speed: number, wavelength: number) {
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
