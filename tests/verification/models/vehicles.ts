import { buildDynamicModel, type DynamicModelOptions } from '../../../solver/dynamic-model/dynamic-model.js';
import type { Consist } from '../../../solver/vehicle/consist.js';
import { CoupledRun } from '../../../solver/vehicle/coupled-run.js';
import type { CoupledSystem } from '../../../solver/vehicle/coupled-system.js';
import { lineCompliance } from '../../../solver/vehicle/line-compliance.js';
import { lineModes } from '../../../solver/vehicle/line-modes.js';
import { buildRunningLine, type TrackProfile } from '../../../solver/vehicle/running-line.js';
import type { BogieVehicle } from '../../../solver/vehicle/vehicle-parameters.js';
import { buildVehicleSystem } from '../../../solver/vehicle/vehicle-system.js';
import type { Viaduct } from '../../../solver/viaduct/model.js';

/** Invented four-axle car. */
export const car: BogieVehicle = {
  kind: 'bogie-vehicle',
  length: 25,
  bodyMass: 38e3,
  bodyPitchInertia: 1.9e6,
  bogieDistance: 17.5,
  bogieMass: 3200,
  bogiePitchInertia: 2200,
  bogieWheelbase: 2.5,
  wheelsetMass: 1500,
  primaryStiffness: 1.6e6,
  primaryDamping: 25e3,
  secondaryStiffness: 0.65e6,
  secondaryDamping: 40e3,
  contactStiffness: 2.8e9,
  sharesBogieWithNext: false,
  passengers: true,
};

/** A mass that touches the beam through its own spring, without a wheelset. */
export function massOnSpring(mass: number, stiffness: number): Consist {
  return {
    bodies: [{ mass, pitchInertia: null, position: 0 }],
    suspensions: [],
    wheels: [{ body: 0, position: 0, load: mass * 9.81, stiffness }],
    floor: [{ body: 0, position: 0, name: 'mass' }],
  };
}

/** Structure, line and vehicles ready to run forward. */
export function coupledModel(
  viaduct: Viaduct,
  consist: Consist,
  options: DynamicModelOptions & { readonly contactFrequency?: number } = {},
  profile: TrackProfile | null = null,
  margin = 0,
): CoupledSystem {
  const model = buildDynamicModel(viaduct, options);
  const { contactFrequency } = options;
  const modes = lineModes(model, contactFrequency);
  const line = buildRunningLine(
    model,
    modes,
    lineCompliance(model, modes, consist),
    'forward',
    profile,
    margin,
  );
  return { model, line, consist, system: buildVehicleSystem(consist) };
}

export function startRun(coupled: CoupledSystem, speed: number, timeStep: number, head = 0): CoupledRun {
  return new CoupledRun(coupled, { speed, timeStep, head });
}
