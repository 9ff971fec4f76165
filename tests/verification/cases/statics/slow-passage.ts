import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { quasiStaticPeaks, runPassage } from '../../../../solver/passage/passage.js';
import { buildTrainTables } from '../../../../solver/passage/train-tables.js';
import type { Quantity as ResponseQuantity, ResponseRow } from '../../../../solver/rows/response-rows.js';
import { supportPositions } from '../../../../solver/statics/dead-load.js';
import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import type { ForceMethodSolution } from '../../independent/force-method.js';
import { extremesUnderTrain, influenceOrdinates } from '../../independent/train-statics.js';
import { rowAt } from '../../models/rows.js';
import { concreteDeck, trainOf, uniformSpans, viaductOf } from '../../models/viaducts.js';

interface Structure {
  readonly name: string;
  readonly lengths: readonly number[];
  /** Stiffness of inner supports, by index. */
  readonly springs: Readonly<Record<number, number>>;
}

const structures: readonly Structure[] = [
  { name: 'three spans', lengths: [25, 32, 25], springs: { 1: 2e9 } },
  { name: 'short span', lengths: [10.37], springs: {} },
];
const positions = [0, 2.5, 16.5, 19, 24.2, 26.7];
const loads = [200e3, 200e3, 190e3, 190e3, 140e3, 140e3];
const why =
  'Requirement of the design: modes above 30 Hz are replaced by their static part, so that forces agree with statics within half a per cent';

interface Response {
  readonly name: string;
  readonly unit: string;
  readonly quantity: ResponseQuantity;
  readonly x: number;
  readonly side?: ResponseRow['side'];
  readonly extreme: 'largest' | 'smallest';
  readonly of: (solution: ForceMethodSolution) => number;
}

/** A train at walking pace must find what statics says. */
export const slowPassage: VerificationCase = {
  id: 'slow-passage',
  title: 'A slow passage agrees with statics: moments, shears, reactions, deflection',
  source: 'Influence lines by the force method, solved in independent/force-method.ts, derived here',
  statement:
    'Continuous deck of 25, 32 and 25 m, one pier elastic (2e9 N/m), and a simple span of 10.37 m, where a jump of the influence line falls between two samples. Six axles of 140 to 200 kN at 1 m/s, and the limit v -> 0 that stands in for speeds below the sweep. Only modes below 30 Hz are kept.',
  sketch: beamSketch({
    id: 'slow-passage',
    description: 'Train on three continuous spans',
    spans: [25, 32, 25],
    supports: ['rigid', 'spring', 'rigid', 'rigid'],
    load: 'train',
  }),
  evaluate: () => ({
    quantities: structures.flatMap((structure) => {
      const { lengths, springs } = structure;
      const viaduct = viaductOf(uniformSpans(lengths), {
        dampingRatio: 0.01,
        supportChanges: Object.fromEntries(
          Object.entries(springs).map(([index, stiffness]) => [index, { stiffness }]),
        ),
      });
      const at = supportPositions(viaduct);
      const end = at[at.length - 1]!;
      const model = buildDynamicModel(viaduct);
      const tables = buildTrainTables(model, trainOf(positions, loads), 'forward');
      const slow = runPassage(model, tables, 1);
      const limit = quasiStaticPeaks(model, tables);
      const beam = {
        pieces: [{ from: 0, to: end, flexuralRigidity: concreteDeck.flexuralRigidity, load: 0 }],
        supports: at.map((x, index) => ({ x, flexibility: springs[index] ? 1 / springs[index] : 0 })),
      };
      const x = [
        0,
        ...at.flatMap((one) => [one - 2e-7, one + 2e-7]),
        at[1]! / 2,
        end,
        ...Array.from({ length: 120 }, (_, k) => (end * (k + 0.5)) / 120),
      ]
        .filter((one) => one >= 0 && one <= end)
        .sort((a, b) => a - b);
      return responsesOf(at).flatMap((response) => {
        const row = rowAt(model, response.quantity, response.x, response.side);
        const ordinates = influenceOrdinates(beam, x, response.of);
        const reference = extremesUnderTrain(x, ordinates, positions, loads, 0.02)[response.extreme];
        return [
          { peaks: slow, how: 'at 1 m/s' },
          { peaks: limit, how: 'as v -> 0' },
        ].map(({ peaks, how }) => ({
          name: `${response.name}, ${structure.name}, ${how}`,
          unit: response.unit,
          reference,
          computed: peaks[response.extreme][row]!,
          tolerance: relative(5e-3),
          why,
        }));
      });
    }),
  }),
};

function responsesOf(at: readonly number[]): Response[] {
  const last = at.length - 1;
  const end = at[last]!;
  const ends: Response[] = [
    {
      name: 'Shear at the first support',
      unit: 'N',
      quantity: 'shear',
      x: 0,
      side: 'right',
      extreme: 'largest',
      of: (solution) => solution.shearAt(1e-7),
    },
    {
      name: 'Shear at the last support',
      unit: 'N',
      quantity: 'shear',
      x: end,
      side: 'left',
      extreme: 'smallest',
      of: (solution) => solution.shearAt(end - 1e-7),
    },
    {
      name: 'Reaction of the last support',
      unit: 'N',
      quantity: 'support-reaction',
      x: end,
      extreme: 'largest',
      of: (solution) => solution.reactions[last]!,
    },
    {
      name: 'Moment at the middle of the first span',
      unit: 'Nm',
      quantity: 'bending',
      x: at[1]! / 2,
      extreme: 'largest',
      of: (solution) => solution.momentAt(at[1]! / 2),
    },
    {
      name: 'Deflection at the middle of the first span',
      unit: 'm',
      quantity: 'deck-deflection',
      x: at[1]! / 2,
      extreme: 'largest',
      of: (solution) => solution.deflectionAt(at[1]! / 2),
    },
  ];
  if (last === 1) return ends;
  return [
    ...ends,
    {
      name: 'Hogging moment over the second support',
      unit: 'Nm',
      quantity: 'bending',
      x: at[1]!,
      extreme: 'smallest',
      of: (solution) => solution.momentAt(at[1]!),
    },
    {
      name: 'Shear left of the second support',
      unit: 'N',
      quantity: 'shear',
      x: at[1]!,
      side: 'left',
      extreme: 'smallest',
      of: (solution) => solution.shearAt(at[1]! - 1e-7),
    },
    {
      name: 'Shear right of the second support',
      unit: 'N',
      quantity: 'shear',
      x: at[1]!,
      side: 'right',
      extreme: 'largest',
      of: (solution) => solution.shearAt(at[1]! + 1e-7),
    },
    {
      name: 'Reaction of the elastic pier',
      unit: 'N',
      quantity: 'support-reaction',
      x: at[1]!,
      extreme: 'largest',
      of: (solution) => solution.reactions[1]!,
    },
    {
      name: 'Uplift of the last support',
      unit: 'N',
      quantity: 'support-reaction',
      x: end,
      extreme: 'smallest',
      of: (solution) => solution.reactions[last]!,
    },
  ];
}
