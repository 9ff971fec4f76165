import { hslmA } from '../../scenarios/library/hslm-a.js';
import { buildDynamicModel } from '../../solver/dynamic-model.js';
import { ObjectiveIndex } from '../../solver/objective.js';
import { runPassage } from '../../solver/passage.js';
import type { Quantity } from '../../solver/response-rows.js';
import { buildTrainTables } from '../../solver/train-tables.js';
import { trackedViaduct } from './tracked-viaduct.js';
import type { Workload } from './workload.js';

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
        regularDistances: [],
      },
      'forward',
    );
    const members = new Map<Quantity, number[]>();
    model.rows.forEach(({ quantity }, row) => {
      members.set(quantity, [...(members.get(quantity) ?? []), row]);
    });
    const quantities = [...members.values()].map((rows) => ({
      rows: Int32Array.from([...rows, ...rows]),
      weights: Float64Array.from({ length: 2 * rows.length }, (_, entry) => (entry < rows.length ? 1 : -1)),
      offsets: new Float64Array(2 * rows.length),
    }));
    const objectives = new ObjectiveIndex(quantities, model.rows.length);
    const modes = model.modes.shapes.length;
    let modeSteps = 0;
    for (let index = 0; index < 100; index++)
      modeSteps += modes * runPassage(model, tables, (40 + 2 * index) / 3.6, { objectives }).steps;
    return { passages: 100, modes, rows: model.rows.length, modeSteps };
  },
};
