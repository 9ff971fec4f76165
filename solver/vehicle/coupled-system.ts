import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import type { Consist } from './consist.js';
import type { RunningLine } from './running-line.js';
import type { VehicleSystem } from './vehicle-system.js';

/** A structure, the way of a train over it in one direction, and the train's vehicles: what passages at all speeds share. */
export interface CoupledSystem {
  readonly model: DynamicModel;
  readonly line: RunningLine;
  readonly consist: Consist;
  readonly system: VehicleSystem;
}
