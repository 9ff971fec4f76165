import type { z } from 'zod';
import type { bogieVehicle } from '../schema/vehicle.js';
import type { VehicleId } from './vehicle-ids.js';

/** A vehicle of the library. Units stand in the keys; masses and inertias are of one part, springs of one wheelset or one bogie. */
export interface LibraryVehicle {
  readonly id: VehicleId;
  readonly description: string;
  readonly parameters: Readonly<z.infer<typeof bogieVehicle>>;
  readonly source: string;
}

const source = 'invented values of usual size, common practice (mem); not those of any vehicle in service';

/** Two wheels of about 0.9 m on a rail of 60 kg/m at 60 to 110 kN each, linearised: 1.4 GN/m per contact (mem). */
const contact_stiffness_N_per_m = 2.8e9;

export const libraryVehicles: Readonly<Record<VehicleId, LibraryVehicle>> = {
  'multiple-unit-car': {
    id: 'multiple-unit-car',
    description: 'car of a multiple unit, seated load: 50.4 t on four axles, body bounce 0.85 Hz',
    parameters: {
      length_m: 25,
      body_mass_kg: 38_000,
      body_pitch_inertia_kg_m2: 1.9e6,
      bogie_distance_m: 17.5,
      bogie_mass_kg: 3200,
      bogie_pitch_inertia_kg_m2: 2200,
      bogie_wheelbase_m: 2.5,
      wheelset_mass_kg: 1500,
      primary_stiffness_N_per_m: 1.6e6,
      primary_damping_N_s_per_m: 25e3,
      secondary_stiffness_N_per_m: 0.65e6,
      secondary_damping_N_s_per_m: 40e3,
      contact_stiffness_N_per_m,
      shares_bogie_with_next: false,
      passengers: true,
    },
    source,
  },
  locomotive: {
    id: 'locomotive',
    description: 'four-axle electric locomotive: 86 t, driven wheelsets',
    parameters: {
      length_m: 19,
      body_mass_kg: 52_000,
      body_pitch_inertia_kg_m2: 1.35e6,
      bogie_distance_m: 9.9,
      bogie_mass_kg: 7000,
      bogie_pitch_inertia_kg_m2: 9000,
      bogie_wheelbase_m: 3,
      wheelset_mass_kg: 5000,
      primary_stiffness_N_per_m: 2.6e6,
      primary_damping_N_s_per_m: 40e3,
      secondary_stiffness_N_per_m: 2.2e6,
      secondary_damping_N_s_per_m: 80e3,
      contact_stiffness_N_per_m,
      shares_bogie_with_next: false,
      passengers: false,
    },
    source,
  },
  'bogie-wagon-loaded': {
    id: 'bogie-wagon-loaded',
    description: 'four-axle open wagon, full: 90 t; friction of the suspension as a dashpot',
    parameters: {
      length_m: 14.04,
      body_mass_kg: 79_600,
      body_pitch_inertia_kg_m2: 9.5e5,
      bogie_distance_m: 9,
      bogie_mass_kg: 2600,
      bogie_pitch_inertia_kg_m2: 1500,
      bogie_wheelbase_m: 1.8,
      wheelset_mass_kg: 1300,
      primary_stiffness_N_per_m: 5e6,
      primary_damping_N_s_per_m: 60e3,
      // Body and bogie meet in a rigid centre pivot.
      secondary_stiffness_N_per_m: 2e8,
      secondary_damping_N_s_per_m: 2e5,
      contact_stiffness_N_per_m,
      shares_bogie_with_next: false,
      passengers: false,
    },
    source,
  },
  'bogie-wagon-empty': {
    id: 'bogie-wagon-empty',
    description: 'the same wagon empty: 23 t, on the first stage of its progressive springs',
    parameters: {
      length_m: 14.04,
      body_mass_kg: 12_600,
      body_pitch_inertia_kg_m2: 1.9e5,
      bogie_distance_m: 9,
      bogie_mass_kg: 2600,
      bogie_pitch_inertia_kg_m2: 1500,
      bogie_wheelbase_m: 1.8,
      wheelset_mass_kg: 1300,
      primary_stiffness_N_per_m: 2e6,
      primary_damping_N_s_per_m: 25e3,
      secondary_stiffness_N_per_m: 2e8,
      secondary_damping_N_s_per_m: 2e5,
      contact_stiffness_N_per_m,
      shares_bogie_with_next: false,
      passengers: false,
    },
    source,
  },
};
