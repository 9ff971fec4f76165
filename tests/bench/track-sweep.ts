import { hslmA } from '../../scenarios/library/hslm-a.js';
import { buildDynamicModel } from '../../solver/dynamic-model/dynamic-model.js';
import { runPassage } from '../../solver/passage/passage.js';
import { buildTrainTables } from '../../solver/passage/train-tables.js';
import { trackedViaduct } from './tracked-viaduct.js';
import type { Workload } from './workload.js';
import { worstOfEveryQuantity } from './worst-of-every-quantity.js';

/** 10 x 36 m with slab track, HSLM-A5 at 100 speeds from 40 to 238 km/h, the worst of every quantity with fastening forces. */
export const trackSweep: Workload = {
  id: 'W2',
  title: 'track: HSLM-A5 at 100 speeds over 10 x 36 m with slab track, worst of every quantity',
  run() {
    const model = buildDynamicModel(trackedViaduct(10));
    const { positions, loads } = hslmA('HSLM-A5');
    const tables = buildTrainTables(
      model,
      {
        id: 'HSLM-A5',
        class: 'passenger',
        positions: Float64Array.from(positions),
        loads: Float64Array.from(loads),
      },
      'forward',
    );
    const objectives = worstOfEveryQuantity(model.rows);
    const modes = model.modes.shapes.length;
    let modeSteps = 0;
    for (let index = 0; index < 100; index++)
      modeSteps += modes * runPassage(model, tables, (40 + 2 * index) / 3.6, { objectives }).steps;
    return { passages: 100, modes, rows: model.rows.length, modeSteps };
  },
};
