import { libraryVehicles } from '../../scenarios/library/vehicles.js';
import { bogieVehicleOf } from '../../scenarios/translation/vehicles.js';
import { buildDynamicModel } from '../../solver/dynamic-model/dynamic-model.js';
import { buildConsist } from '../../solver/vehicle/build-consist.js';
import { runCoupledPassage } from '../../solver/vehicle/coupled-passage.js';
import { lineCompliance } from '../../solver/vehicle/line-compliance.js';
import { lineModes } from '../../solver/vehicle/line-modes.js';
import { buildRowInfluence } from '../../solver/vehicle/row-influence.js';
import { profileMargin } from '../../solver/vehicle/run-up.js';
import { buildRunningLine } from '../../solver/vehicle/running-line.js';
import { buildVehicleSystem } from '../../solver/vehicle/vehicle-system.js';
import { trackedViaduct } from './tracked-viaduct.js';
import type { Workload } from './workload.js';
import { worstOfEveryQuantity } from './worst-of-every-quantity.js';

const speeds = Array.from({ length: 60 }, (_, index) => 64 + 4 * index);

/** W6: a train of equal cars on springs, coupled with 10 x 36 m with slab track, at 60 speeds from 64 to 300 km/h in one direction. */
export const vehicleSweep = (cars: number): Workload => ({
  id: `W6-${cars}`,
  title: `vehicles: ${cars} cars at 60 speeds over 10 x 36 m with slab track, worst of every quantity and the ride`,
  run() {
    const model = buildDynamicModel(trackedViaduct(10));

    const car = bogieVehicleOf(libraryVehicles['multiple-unit-car'].parameters);
    const consist = buildConsist(Array.from({ length: cars }, () => car));
    const system = buildVehicleSystem(consist);
    const length = consist.wheels.at(-1)!.position;
    const margin = profileMargin(system, speeds.at(-1)! / 3.6, length);
    const modes = lineModes(model);
    const line = buildRunningLine(
      model,
      modes,
      lineCompliance(model, modes, consist),
      'forward',
      null,
      margin,
    );
    const coupled = { model, line, consist, system };
    const influences = buildRowInfluence(model, consist, 'forward');
    const objectives = worstOfEveryQuantity(model.rows);
    let steps = 0;
    for (const speed of speeds)
      steps += runCoupledPassage(coupled, influences, speed / 3.6, { objectives }).steps;
    return {
      passages: speeds.length,
      wheels: consist.wheels.length,
      modes: modes.angularFrequencies.length,
      steps,
    };
  },
});
