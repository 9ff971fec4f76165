import { buildConsist } from '../../solver/vehicle/build-consist.js';
import type { Consist } from '../../solver/vehicle/consist.js';
import type { BogieVehicle, VehicleParameters } from '../../solver/vehicle/vehicle-parameters.js';
import { libraryVehicles } from '../library/vehicles.js';
import type { ScenarioTrain } from '../scenario.js';

type ScenarioVehicle = NonNullable<ScenarioTrain['vehicles']>[number];

/** The train as rigid bodies, the leading vehicle first; null for a train without vehicles. */
export function consistOf(train: ScenarioTrain): Consist | null {
  if (train.vehicles === undefined) return null;
  const vehicles = train.vehicles.flatMap((entry) =>
    Array.from({ length: entry.count }, () => parametersOf(entry)),
  );
  return buildConsist(train.reverse ? turned(vehicles) : vehicles);
}

/**
 * The same train with its last vehicle leading: a bogie shared with the next is then shared by the vehicle that was next, and stays the
 * bogie that it was.
 */
function turned(vehicles: readonly VehicleParameters[]): readonly VehicleParameters[] {
  const shares = (index: number): boolean => {
    const vehicle = vehicles[index];
    return vehicle?.kind === 'bogie-vehicle' && vehicle.sharesBogieWithNext;
  };
  return vehicles
    .map(
      (vehicle, index): VehicleParameters =>
        vehicle.kind === 'bogie-vehicle'
          ? { ...vehicle, sharesBogieWithNext: shares(index - 1), sharedBogieOf: 'next' }
          : vehicle,
    )
    .reverse();
}

function parametersOf(entry: ScenarioVehicle): VehicleParameters {
  const { sprung_mass: sprung } = entry;
  if (sprung !== undefined) {
    return {
      kind: 'sprung-mass',
      length: sprung.length_m,
      mass: sprung.mass_kg,
      stiffness: sprung.stiffness_N_per_m,
      damping: sprung.damping_N_s_per_m,
      wheelsetMass: sprung.wheelset_mass_kg,
      contactStiffness: sprung.contact_stiffness_N_per_m,
      passengers: sprung.passengers,
    };
  }
  const own =
    entry.bogie_vehicle ??
    (entry.vehicle === undefined ? undefined : libraryVehicles[entry.vehicle].parameters);
  if (own === undefined) throw new RangeError('the scenario did not pass readScenario: a vehicle is missing');
  return bogieVehicleOf(own);
}

/** The keys of a vehicle on two bogies in SI units. */
export function bogieVehicleOf(own: NonNullable<ScenarioVehicle['bogie_vehicle']>): BogieVehicle {
  return {
    kind: 'bogie-vehicle',
    length: own.length_m,
    bodyMass: own.body_mass_kg,
    bodyPitchInertia: own.body_pitch_inertia_kg_m2,
    bogieDistance: own.bogie_distance_m,
    bogieMass: own.bogie_mass_kg,
    bogiePitchInertia: own.bogie_pitch_inertia_kg_m2,
    bogieWheelbase: own.bogie_wheelbase_m,
    wheelsetMass: own.wheelset_mass_kg,
    primaryStiffness: own.primary_stiffness_N_per_m,
    primaryDamping: own.primary_damping_N_s_per_m,
    secondaryStiffness: own.secondary_stiffness_N_per_m,
    secondaryDamping: own.secondary_damping_N_s_per_m,
    contactStiffness: own.contact_stiffness_N_per_m,
    sharesBogieWithNext: own.shares_bogie_with_next,
    passengers: own.passengers,
  };
}
