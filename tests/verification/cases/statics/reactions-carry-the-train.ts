import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { buildTrainTables } from '../../../../solver/passage/train-tables.js';
import { solveDeadLoad } from '../../../../solver/statics/dead-load.js';
import { gravity } from '../../../../solver/viaduct/gravity.js';
import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { passageHistory, rowHistory } from '../../models/passage-history.js';
import { rowsOf } from '../../models/rows.js';
import { concreteDeck, trainOf, uniformSpans, viaductOf } from '../../models/viaducts.js';

const positions = [0, 2.5, 16.5, 19];
const load = 200e3;
const speed = 1;

/** Equilibrium at every instant. */
export const reactionsCarryTheTrain: VerificationCase = {
  id: 'reactions-carry-the-train',
  title: 'Reactions add up to weight and train at all times as v -> 0',
  source: 'Equilibrium of vertical forces',
  statement:
    'Deck of 25, 30 and 25 m with a joint over the third support and elastic piers; four axles of 200 kN at 1 m/s. Sum of dead-load reactions, and of the train reactions at every time step while all axles are on the deck.',
  sketch: beamSketch({
    id: 'reactions-carry-the-train',
    description: 'Train on a deck with an expansion joint',
    spans: [25, 30, 25],
    supports: ['rigid', 'spring', 'joint', 'rigid'],
    load: 'train',
  }),
  evaluate: () => {
    const viaduct = viaductOf(uniformSpans([25, 30, 25]), {
      dampingRatio: 0.01,
      supportChanges: { 1: { stiffness: 2e9 }, 2: { stiffness: 3e9, joint: true } },
    });
    const dead = solveDeadLoad(viaduct).reactions.reduce((sum, value) => sum + value, 0);
    const model = buildDynamicModel(viaduct);
    const tables = buildTrainTables(model, trainOf(positions, load), 'forward');
    const history = passageHistory(model, tables, speed, 1 / 240, 100 / speed, 0);
    const rows = rowsOf(model, 'support-reaction').map((row) => rowHistory(model, tables, history, row));
    let least = Number.POSITIVE_INFINITY;
    let most = Number.NEGATIVE_INFINITY;
    const t: number[] = [];
    const sums: number[] = [];
    for (let k = 0; k < history.count; k++) {
      const sum = rows.reduce((total, row) => total + row[k]!, 0);
      const head = k * history.timeStep * speed;
      if (k % 120 === 0) {
        t.push(head);
        sums.push(sum / 1e3);
      }
      if (head - positions[3]! < 0.2 || head > 79.8) continue;
      least = Math.min(least, sum);
      most = Math.max(most, sum);
    }
    const train = positions.length * load;
    const why =
      'The ends of the linear influence lines are within round-off; at 1 m/s the inertia of the deck is below a thousandth';
    return {
      quantities: [
        {
          name: 'Sum of the dead-load reactions',
          unit: 'N',
          reference: 80 * concreteDeck.massPerLength * gravity,
          computed: dead,
          tolerance: relative(1e-9),
          why: 'Exact but for round-off',
        },
        {
          name: 'Least sum of the train reactions with all axles on the deck',
          unit: 'N',
          reference: train,
          computed: least,
          tolerance: relative(5e-3),
          why,
        },
        {
          name: 'Largest sum of the train reactions with all axles on the deck',
          unit: 'N',
          reference: train,
          computed: most,
          tolerance: relative(5e-3),
          why,
        },
      ],
      chart: {
        title: 'Sum of the reactions under the train',
        description: 'Four steps as the axles enter, a plateau, four steps as they leave',
        xLabel: 'position of the leading axle, m',
        yLabel: 'sum of reactions, kN',
        series: [{ label: 'computed', x: t, y: sums, role: 'primary' }],
      },
    };
  },
};
