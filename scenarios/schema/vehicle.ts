import { z } from 'zod';
import { vehicleIds } from '../library/vehicle-ids.js';
import { scenarioBounds } from './bounds.js';
import { givenInThousands, givenInThousandths, quantity } from './quantity.js';

const mass = (min: number, max: number) =>
  quantity({ unit: 'kg', min, max, usual: [min, max], slips: [givenInThousands('t')] });

const pitchInertia = (min: number, max: number) =>
  quantity({ unit: 'kg m2', min, max, usual: [min, max], slips: [givenInThousands('t m2')] });

const distance = (min: number, max: number) =>
  quantity({ unit: 'm', min, max, usual: [min, max], slips: [givenInThousandths('mm')] });

const stiffness = () =>
  quantity({
    unit: 'N/m',
    min: 1e4,
    max: 1e9,
    usual: [1e5, 1e8],
    slips: [givenInThousands('kN/m'), { factor: 1e6, givenIn: 'kN/mm' }],
  });

const damping = () =>
  quantity({ unit: 'N s/m', min: 0, max: 1e7, usual: [1e3, 1e6], slips: [givenInThousands('kN s/m')] });

/** Linearised Hertz spring of both contacts of a wheelset together. */
const contactStiffness = () =>
  quantity({
    unit: 'N/m (both wheels of a wheelset)',
    min: 1e8,
    max: 1e11,
    usual: [1e9, 1e10],
    slips: [givenInThousands('kN/m'), { factor: 1e6, givenIn: 'kN/mm' }],
  }).default(2.8e9);

/** A body on two bogies of two wheelsets each, symmetric about its middle. */
export const bogieVehicle = z.strictObject({
  length_m: distance(5, 40),
  body_mass_kg: mass(2000, 2e5),
  body_pitch_inertia_kg_m2: pitchInertia(1e4, 2e7),
  bogie_distance_m: distance(3, 30),
  bogie_mass_kg: mass(200, 3e4),
  bogie_pitch_inertia_kg_m2: pitchInertia(50, 1e5),
  bogie_wheelbase_m: distance(1, 5),
  wheelset_mass_kg: mass(300, 6000),
  /** Per wheelset. */
  primary_stiffness_N_per_m: stiffness(),
  primary_damping_N_s_per_m: damping(),
  /** Per bogie and body. */
  secondary_stiffness_N_per_m: stiffness(),
  secondary_damping_N_s_per_m: damping(),
  contact_stiffness_N_per_m: contactStiffness(),
  /** The rear bogie also carries the front end of the next vehicle. */
  shares_bogie_with_next: z.boolean().default(false),
  passengers: z.boolean().default(true),
});

/** A mass on a spring and a dashpot on one wheelset. */
export const sprungMass = z.strictObject({
  length_m: distance(1, 40),
  mass_kg: mass(500, 1e5),
  stiffness_N_per_m: stiffness(),
  damping_N_s_per_m: damping(),
  wheelset_mass_kg: mass(50, 6000),
  contact_stiffness_N_per_m: contactStiffness(),
  passengers: z.boolean().default(true),
});

/** One vehicle or several equal ones behind each other: of the library, or with own parameters; exactly one of the three. */
const trainVehicle = z.strictObject({
  count: quantity({ unit: 'vehicles', min: 1, max: scenarioBounds.vehiclesPerTrain, integer: true }).default(
    1,
  ),
  vehicle: z.enum(vehicleIds).optional(),
  bogie_vehicle: bogieVehicle.optional(),
  sprung_mass: sprungMass.optional(),
});

/** Leading vehicle first. */
export const trainVehicles = z.array(trainVehicle).min(1).max(scenarioBounds.vehiclesPerTrain);
