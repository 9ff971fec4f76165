import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { buildTrainTables } from '../../../../solver/passage/train-tables.js';
import { beamSketch } from '../../book/sketch.js';
import { absolute, type VerificationCase } from '../../book/verification-case.js';
import { passageHistory, rowHistory } from '../../models/passage-history.js';
import { peaksOf } from '../../models/peaks-of.js';
import { trainOf, uniformSpans, viaductOf } from '../../models/viaducts.js';

const positions = [0, 2.5, 16.5, 19];
const loads = [210e3, 190e3, 150e3, 170e3];
const speed = 70;

/** Twice the train, twice the response; two trains, the sum of two responses. */
export const linearity: VerificationCase = {
  id: 'linearity',
  title: 'Linearity in the loads',
  source: 'Linearity of the equations of motion',
  statement: `Two continuous spans, four axles at ${speed} m/s. All peaks under three times the loads against three times the peaks; time histories under all axles against the sum of those under either pair, over every row.`,
  sketch: beamSketch({
    id: 'linearity',
    description: 'Train on two spans',
    spans: [25, 32],
    supports: ['rigid', 'rigid', 'rigid'],
    load: 'train',
  }),
  evaluate: () => {
    const model = buildDynamicModel(viaductOf(uniformSpans([25, 32]), { dampingRatio: 0.01 }));
    const once = peaksOf(model, trainOf(positions, loads), speed);
    const thrice = peaksOf(
      model,
      trainOf(
        positions,
        loads.map((load) => 3 * load),
      ),
      speed,
    );
    let scaling = 0;
    once.largest.forEach((value, row) => {
      const most = Math.max(value, -once.smallest[row]!);
      if (most === 0) return;
      scaling = Math.max(scaling, Math.abs(thrice.largest[row]! - 3 * value) / most);
      scaling = Math.max(scaling, Math.abs(thrice.smallest[row]! - 3 * once.smallest[row]!) / most);
    });
    const historyUnder = (chosen: readonly number[]) => {
      const train = trainOf(
        positions,
        loads.map((load, axle) => (chosen.includes(axle) ? load : 0)),
      );
      const tables = buildTrainTables(model, train, 'forward');
      const history = passageHistory(model, tables, speed, 0.004, 2);
      return model.rows.map((_, row) => rowHistory(model, tables, history, row));
    };
    const [all, front, rear] = [
      [0, 1, 2, 3],
      [0, 1],
      [2, 3],
    ].map(historyUnder);
    let superposition = 0;
    all!.forEach((row, index) => {
      const most = row.reduce((peak, value) => Math.max(peak, Math.abs(value)), 0);
      if (most === 0) return;
      row.forEach((value, k) => {
        const apart = Math.abs(value - front![index]![k]! - rear![index]![k]!);
        superposition = Math.max(superposition, apart / most);
      });
    });
    return {
      quantities: [
        {
          name: 'Largest departure from three times the peaks, as a share of the peak',
          unit: '-',
          reference: 0,
          computed: scaling,
          tolerance: absolute(1e-9),
          why: 'Round-off',
        },
        {
          name: 'Largest departure from the sum of the parts, as a share of the peak',
          unit: '-',
          reference: 0,
          computed: superposition,
          tolerance: absolute(1e-6),
          why: 'Entries of influence lines below 1e-7 of their peak are dropped; else round-off',
        },
      ],
    };
  },
};
