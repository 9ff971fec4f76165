import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import type { Quantity as ResponseQuantity } from '../../../../solver/rows/response-rows.js';
import { beamSketch } from '../../book/sketch.js';
import { atMost, relative, type VerificationCase } from '../../book/verification-case.js';
import { governingPeaks, peaksOf, unitOf } from '../../models/peaks-of.js';
import { concreteDeck, slabTrack, trainOf, uniformSpans, viaductOf } from '../../models/viaducts.js';

const lengths = [25, 32];
const train = trainOf([0, 2.5, 16.5, 19], 180e3);
const speed = 60;
const compared: readonly ResponseQuantity[] = [
  'deck-deflection',
  'deck-acceleration',
  'bending',
  'support-reaction',
  'end-rotation',
];
const factors = [1, 10, 100];

/** A track without give is no track. */
export const stiffTrack: VerificationCase = {
  id: 'stiff-track',
  title: 'A stiff track tends to the bare deck',
  source: 'Limit of the coupled equations as the springs between the layers stiffen',
  statement: `Two continuous spans, four axles of 180 kN at ${speed} m/s. Slab track whose fastenings and bedding are made 10 and 100 times as stiff, seats 0.3 m apart, with flexible rail (1e5 N m2) and slab (1e6 N m2), against the deck alone that carries their mass.`,
  sketch: beamSketch({
    id: 'stiff-track',
    description: 'Train on slab track over two spans',
    spans: lengths,
    supports: ['rigid', 'rigid', 'rigid'],
    load: 'train',
    track: 'slab',
  }),
  evaluate: () => {
    const supports = { dampingRatio: 0.01 };
    const bare = buildDynamicModel(
      viaductOf(uniformSpans(lengths, { massPerLength: concreteDeck.massPerLength + 1720 }), supports),
    );
    const reference = governingPeaks(bare, peaksOf(bare, train, speed));
    const found = factors.map((factor) => {
      const track = slabTrack({
        rail: { massPerLength: 120, flexuralRigidity: 1e5 },
        fastening: { spacing: 0.3, stiffness: 80e6 * factor, damping: 0 },
        slab: { massPerLength: 1600, flexuralRigidity: 1e6, panelLength: null },
        bedding: { stiffnessPerLength: 1e8 * factor, dampingPerLength: 0 },
      });
      const model = buildDynamicModel(viaductOf(uniformSpans(lengths), { ...supports, track }));
      return governingPeaks(model, peaksOf(model, train, speed));
    });
    const apart = (step: number, quantity: ResponseQuantity) =>
      Math.abs(found[step]!.get(quantity)! / reference.get(quantity)! - 1);
    return {
      quantities: [
        ...compared.map((quantity) => ({
          name: `${quantity}, track 100 times as stiff`,
          unit: unitOf[quantity],
          reference: reference.get(quantity)!,
          computed: found[2]!.get(quantity)!,
          tolerance: relative(1e-2),
          why: 'What is left: axle loads reach the deck through seats 0.3 m apart, and the track bridges the deck ends',
        })),
        {
          name: 'Sum of the relative differences: 100 times as stiff (computed) against as given (reference)',
          unit: '-',
          reference: compared.reduce((sum, quantity) => sum + apart(0, quantity), 0),
          computed: compared.reduce((sum, quantity) => sum + apart(2, quantity), 0),
          tolerance: atMost,
          why: 'The difference must shrink as the layers stiffen',
        },
      ],
    };
  },
};
