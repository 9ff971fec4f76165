import { gravity } from '../viaduct/gravity.js';
import type { Consist, FloorPoint, RigidBody, Suspension, WheelContact } from './consist.js';
import type { BogieVehicle, SprungMass, VehicleParameters } from './vehicle-parameters.js';

/** A vehicle shares a bogie with a neighbour that has none to share. */
export class UnsharedBogieError extends Error {
  readonly vehicle: number;
  constructor(vehicle: number) {
    super(`vehicle ${vehicle + 1} shares its rear bogie, but no vehicle on bogies follows it`);
    this.name = 'UnsharedBogieError';
    this.vehicle = vehicle;
  }
}

/**
 * Couples vehicles in order, the first one leading. Vehicles that share no bogie do not touch each other in the vertical.
 *
 * @throws UnsharedBogieError
 */
export function buildConsist(vehicles: readonly VehicleParameters[]): Consist {
  const assembly = new ConsistAssembly();
  vehicles.forEach((vehicle, index) => {
    if (vehicle.kind === 'sprung-mass') assembly.addSprungMass(vehicle, index);
    else {
      const next = vehicles[index + 1];
      if (vehicle.sharesBogieWithNext && next?.kind !== 'bogie-vehicle') throw new UnsharedBogieError(index);
      assembly.addBogieVehicle(vehicle, index, next);
    }
  });
  return assembly.finished();
}

interface Bogie {
  readonly body: number;
  readonly at: number;
  /** Load from bodies above; two for a shared bogie. */
  load: number;
  readonly vehicle: BogieVehicle;
}

function ownerOfRearBogie(vehicle: BogieVehicle, next: VehicleParameters | undefined): BogieVehicle {
  const nexts = vehicle.sharesBogieWithNext && vehicle.sharedBogieOf === 'next';
  return nexts && next?.kind === 'bogie-vehicle' ? next : vehicle;
}

/** Positions are measured from the front coupler of the first vehicle until the end. */
class ConsistAssembly {
  readonly bodies: RigidBody[] = [];
  readonly suspensions: Suspension[] = [];
  readonly bogies: Bogie[] = [];
  readonly wheels: WheelContact[] = [];
  readonly floor: FloorPoint[] = [];
  private coupler = 0;
  private shared: Bogie | null = null;

  addSprungMass(vehicle: SprungMass, index: number): void {
    const at = this.coupler + vehicle.length / 2;
    const wheelset = this.addBody({ mass: vehicle.wheelsetMass, pitchInertia: null, position: at });
    const body = this.addBody({ mass: vehicle.mass, pitchInertia: null, position: at });
    this.suspensions.push({
      upper: body,
      lower: wheelset,
      position: at,
      stiffness: vehicle.stiffness,
      damping: vehicle.damping,
    });
    this.wheels.push({
      body: wheelset,
      position: at,
      load: (vehicle.mass + vehicle.wheelsetMass) * gravity,
      stiffness: vehicle.contactStiffness,
    });
    if (vehicle.passengers) this.floor.push({ body, position: at, name: `vehicle ${index + 1}` });
    this.coupler += vehicle.length;
  }

  addBogieVehicle(vehicle: BogieVehicle, index: number, next: VehicleParameters | undefined): void {
    const overhang = (vehicle.length - vehicle.bogieDistance) / 2;
    const frontAt = this.shared ? this.shared.at : this.coupler + overhang;
    const rearAt = frontAt + vehicle.bogieDistance;
    const front = this.shared ?? this.addBogie(vehicle, frontAt);
    const middle = (frontAt + rearAt) / 2;
    const body = this.addBody({
      mass: vehicle.bodyMass,
      pitchInertia: vehicle.bodyPitchInertia,
      position: middle,
    });
    const rear = this.addBogie(ownerOfRearBogie(vehicle, next), rearAt);
    for (const bogie of [front, rear]) {
      bogie.load += (vehicle.bodyMass * gravity) / 2;
      this.suspensions.push({
        upper: body,
        lower: bogie.body,
        position: bogie.at,
        stiffness: vehicle.secondaryStiffness,
        damping: vehicle.secondaryDamping,
      });
    }
    if (vehicle.passengers) {
      const name = `vehicle ${index + 1}`;
      this.floor.push({ body, position: frontAt, name: `${name}, over the leading bogie` });
      this.floor.push({ body, position: middle, name: `${name}, middle` });
      this.floor.push({ body, position: rearAt, name: `${name}, over the trailing bogie` });
    }
    this.shared = vehicle.sharesBogieWithNext ? rear : null;
    this.coupler = rearAt + overhang;
  }

  finished(): Consist {
    for (const { body, at, load, vehicle } of this.bogies) this.addWheelsets(body, at, load, vehicle);
    const order = [...this.wheels].sort((a, b) => a.position - b.position);
    const first = order[0]?.position ?? 0;
    const moved = <T extends { readonly position: number }>(one: T): T => ({
      ...one,
      position: one.position - first,
    });
    return {
      bodies: this.bodies.map(moved),
      suspensions: this.suspensions.map(moved),
      wheels: order.map(moved),
      floor: this.floor.map(moved),
    };
  }

  private addBody(body: RigidBody): number {
    return this.bodies.push(body) - 1;
  }

  private addBogie(vehicle: BogieVehicle, at: number): Bogie {
    const body = this.addBody({
      mass: vehicle.bogieMass,
      pitchInertia: vehicle.bogiePitchInertia,
      position: at,
    });
    const bogie = { body, at, load: vehicle.bogieMass * gravity, vehicle };
    this.bogies.push(bogie);
    return bogie;
  }

  private addWheelsets(bogie: number, at: number, load: number, vehicle: BogieVehicle): void {
    for (const position of [at - vehicle.bogieWheelbase / 2, at + vehicle.bogieWheelbase / 2]) {
      const wheelset = this.addBody({ mass: vehicle.wheelsetMass, pitchInertia: null, position });
      this.suspensions.push({
        upper: bogie,
        lower: wheelset,
        position,
        stiffness: vehicle.primaryStiffness,
        damping: vehicle.primaryDamping,
      });
      this.wheels.push({
        body: wheelset,
        position,
        load: load / 2 + vehicle.wheelsetMass * gravity,
        stiffness: vehicle.contactStiffness,
      });
    }
  }
}
