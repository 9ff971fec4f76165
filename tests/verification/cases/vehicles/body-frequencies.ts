import { buildConsist } from '../../../../solver/vehicle/build-consist.js';
import { buildVehicleSystem, componentFrequencies } from '../../../../solver/vehicle/vehicle-system.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { car } from '../../models/vehicles.js';

/** Lower and upper frequency of a mass over a mass, both on springs, Hz. */
function twoMasses(upper: number, spring: number, lower: number, base: number): readonly [number, number] {
  const a = spring / upper;
  const b = (spring + base) / lower;
  const root = Math.sqrt((a - b) ** 2 + (4 * spring * spring) / (upper * lower));
  return [Math.sqrt((a + b - root) / 2) / (2 * Math.PI), Math.sqrt((a + b + root) / 2) / (2 * Math.PI)];
}

const stiffContact = 1e13;

/** Symmetry splits the car into three systems with closed forms. */
export const bodyFrequencies: VerificationCase = {
  id: 'body-frequencies',
  title: 'Bounce and pitch of a car',
  source:
    'Two masses in series, closed form: R. W. Clough and J. Penzien, Dynamics of Structures (2nd ed. 1993), section 11-2 (mem); by symmetry',
  statement:
    'Car on wheels that stay on the ground (contact of 1e13 N/m). Bounce: the body on both secondary springs over both bogies on all four primary springs. Pitch: the same with inertia / (half the bogie distance)^2 for the mass. Bogie pitch: primary springs at half the wheelbase.',
  evaluate: () => {
    const consist = buildConsist([{ ...car, contactStiffness: stiffContact }]);
    const system = buildVehicleSystem(consist);
    const found = componentFrequencies(consist, system.components[0]!);
    const half = car.bogieDistance / 2;
    const bounce = twoMasses(
      car.bodyMass,
      2 * car.secondaryStiffness,
      2 * car.bogieMass,
      4 * car.primaryStiffness,
    );
    const pitch = twoMasses(
      car.bodyPitchInertia / half ** 2,
      2 * car.secondaryStiffness,
      2 * car.bogieMass,
      4 * car.primaryStiffness,
    );
    const bogiePitch =
      Math.sqrt((2 * car.primaryStiffness * (car.bogieWheelbase / 2) ** 2) / car.bogiePitchInertia) /
      (2 * Math.PI);
    const expected = [...bounce, ...pitch, bogiePitch, bogiePitch].sort((a, b) => a - b);
    return {
      quantities: expected.map((reference, k) => ({
        name: `Frequency ${k + 1} of the car`,
        unit: 'Hz',
        reference,
        computed: found[k]!,
        tolerance: relative(1e-5),
        why: 'The contact springs yield by 1e-7 of the primary springs; eigenvalues span ten decades',
      })),
    };
  },
};
