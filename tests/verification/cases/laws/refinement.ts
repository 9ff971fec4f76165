import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import type { Viaduct } from '../../../../solver/viaduct/model.js';
import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { governingPeaks, peaksOf, unitOf } from '../../models/peaks-of.js';
import { dampedSlabTrack, trainOf, uniformSpans, viaductOf } from '../../models/viaducts.js';

const train = trainOf([0, 2.5, 16.5, 19], 180e3);
const speed = 60;

const structures: readonly { readonly name: string; readonly viaduct: Viaduct }[] = [
  {
    name: 'bare deck',
    viaduct: viaductOf(uniformSpans([25, 32]), {
      dampingRatio: 0.01,
      supportChanges: { 1: { stiffness: 2e9 } },
    }),
  },
  {
    name: 'slab track',
    viaduct: viaductOf(uniformSpans([25, 32]), { dampingRatio: 0.01, track: dampedSlabTrack() }),
  },
];

/** The mesh is fine enough when a finer one changes nothing. */
export const refinement: VerificationCase = {
  id: 'refinement',
  title: 'Splitting every element in two changes no peak by more than 0.5 %',
  source: 'Convergence of the finite element mesh; requirement of the design',
  statement: `Four axles of 180 kN at ${speed} m/s over two spans, bare and with slab track: the governing peak of every kind of response on the ordinary mesh (computed) and with every element split in two (reference). The bedding (1e8 N/m per metre) keeps the modes of the slab on it above the 30 Hz to which modes are taken: a cluster of modes at the limit would come in or not with the last digit of its frequency.`,
  sketch: beamSketch({
    id: 'refinement',
    description: 'Train on two spans',
    spans: [25, 32],
    supports: ['rigid', 'spring', 'rigid'],
    load: 'train',
    track: 'slab',
  }),
  evaluate: () => ({
    quantities: structures.flatMap(({ name, viaduct }) => {
      const [ordinary, fine] = [1, 2].map((each) => {
        const model = buildDynamicModel(viaduct, { refinement: each });
        return governingPeaks(model, peaksOf(model, train, speed));
      });
      return [...fine!].map(([quantity, reference]) => ({
        name: `${quantity}, ${name}`,
        unit: unitOf[quantity],
        reference,
        computed: ordinary!.get(quantity) ?? Number.NaN,
        tolerance: relative(5e-3),
        why: 'Requirement of the design',
      }));
    }),
  }),
};
