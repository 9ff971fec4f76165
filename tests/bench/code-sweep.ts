import { hslmA, hslmATrains } from '../../scenarios/library/hslm-a.js';
import type { HslmAId } from '../../scenarios/library/load-model-ids.js';
import { buildDynamicModel } from '../../solver/dynamic-model.js';
import type { MovingTrain, Viaduct } from '../../solver/model.js';
import { runPassage } from '../../solver/passage.js';
import { buildTrainTables } from '../../solver/train-tables.js';
import type { Workload } from './workload.js';

/** 3 x 40 m continuous deck on rigid supports, 18 t/m, first frequency 3.0 Hz, damping 1 %, no track. */
const firstFrequency = 3;
const length = 40;
const massPerLength = 18_000;
// The first mode of equal continuous spans is that of one simple span: f = pi / (2 L^2) sqrt(EI / m).
const flexuralRigidity = massPerLength * ((2 * length * length * firstFrequency) / Math.PI) ** 2;

const viaduct: Viaduct = {
  spans: Array.from({ length: 3 }, () => ({
    segments: [{ length, massPerLength, flexuralRigidity, shearRigidity: null }],
  })),
  supports: ['A', 'B', 'C', 'D'].map((id) => ({
    id,
    stiffness: Number.POSITIVE_INFINITY,
    settlement: 0,
    joint: false,
    bearing: true,
    upliftResistance: 0,
  })),
  track: null,
  dampingRatio: 0.01,
};

const speeds = Array.from({ length: 153 }, (_, index) => 40 + 2.5 * index);

/** All HSLM-A trains from 40 to 420 km/h, every peak of every row, forward direction, one thread. */
export const codeSweep: Workload = {
  id: 'W1',
  title: 'code sweep: HSLM-A1..A10 at 153 speeds over 3 x 40 m, full envelopes',
  run() {
    const model = buildDynamicModel(viaduct);
    let passages = 0;
    for (const id of Object.keys(hslmATrains) as HslmAId[]) {
      const tables = buildTrainTables(model, trainOf(id), 'forward');
      for (const speed of speeds) {
        runPassage(model, tables, speed / 3.6);
        passages++;
      }
    }
    return { passages, modes: model.modes.shapes.length, rows: model.rows.length };
  },
};

function trainOf(id: HslmAId): MovingTrain {
  const { positions, loads, regularDistances } = hslmA(id);
  return {
    id,
    class: 'passenger',
    positions: Float64Array.from(positions),
    loads: Float64Array.from(loads),
    regularDistances,
  };
}
