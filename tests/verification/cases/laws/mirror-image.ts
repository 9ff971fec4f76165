import { buildDynamicModel, type DynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import type { Peaks } from '../../../../solver/peaks/peaks.js';
import type { Quantity as ResponseQuantity, ResponseRow } from '../../../../solver/rows/response-rows.js';
import type { Viaduct } from '../../../../solver/viaduct/model.js';
import { beamSketch } from '../../book/sketch.js';
import { absolute, type VerificationCase } from '../../book/verification-case.js';
import { peaksOf } from '../../models/peaks-of.js';
import { mirrored, slabTrack, trainOf, uniformSpans, viaductOf } from '../../models/viaducts.js';

const train = trainOf([0, 2.5, 16.5, 19], [200e3, 190e3, 180e3, 170e3]);
const speed = 55;

/** -1 where a response changes sign when left and right change places: the difference of both sides of a joint keeps or loses it. */
function mirrorSign({ quantity, freedoms }: ResponseRow): 1 | -1 {
  if (quantity === 'shear') return -1;
  if (quantity === 'end-rotation') return freedoms.length === 2 ? 1 : -1;
  if (quantity === 'joint-step') return freedoms.length === 2 ? -1 : 1;
  return 1;
}
const opposite = { left: 'right', right: 'left', only: 'only' } as const;

const structures: readonly { readonly name: string; readonly viaduct: Viaduct }[] = [
  {
    name: 'bare deck with a joint and an elastic pier',
    viaduct: viaductOf(uniformSpans([22, 30, 26.3]), {
      dampingRatio: 0.01,
      supportChanges: { 1: { stiffness: 1e9 }, 2: { joint: true } },
    }),
  },
  {
    name: 'slab track, bedding partly lost, soft end bearing',
    viaduct: viaductOf(uniformSpans([13, 19.5]), {
      dampingRatio: 0.01,
      track: slabTrack({ losses: [{ layer: 'bedding', from: 3, to: 9, fraction: 0.7 }] }),
      supportChanges: { 2: { stiffness: 5e8 } },
    }),
  },
];

/** The valley does not care from which side it is looked at. */
export const mirrorImage: VerificationCase = {
  id: 'mirror-image',
  title: 'The mirror image of a viaduct gives the mirror image of the results',
  source: 'Symmetry of the equations of motion under x -> L - x',
  statement: `Four unequal axles at ${speed} m/s forward over a viaduct and in reverse over its mirror image: largest difference of the two peaks over all rows of a kind, as a share of the largest peak of that kind. Shears, end rotations and steps between two deck ends change sign.`,
  sketch: beamSketch({
    id: 'mirror-image',
    description: 'An unsymmetric viaduct',
    spans: [22, 30, 26],
    supports: ['rigid', 'spring', 'joint', 'rigid'],
    load: 'train',
  }),
  evaluate: () => ({
    quantities: structures.flatMap(({ name, viaduct }) => {
      const forward = buildDynamicModel(viaduct);
      const reverse = buildDynamicModel(mirrored(viaduct));
      const differences = compare(
        forward,
        peaksOf(forward, train, speed),
        reverse,
        peaksOf(reverse, train, speed, 'reverse'),
      );
      return [...differences].map(([quantity, { difference, largest }]) => ({
        name: `${quantity}, ${name}`,
        unit: '-',
        reference: 0,
        computed: difference / largest,
        tolerance: absolute(1e-6),
        why: 'Round-off of two different eigensolutions; both sample the line at mirrored points',
      }));
    }),
  }),
};

function compare(forward: DynamicModel, a: Peaks, reverse: DynamicModel, b: Peaks) {
  const found = new Map<ResponseQuantity, { difference: number; largest: number }>();
  const { length } = forward.mesh;
  forward.rows.forEach((row, i) => {
    const j = reverse.rows.findIndex(
      (other) =>
        other.quantity === row.quantity &&
        Math.abs(length - other.x - row.x) < 1e-6 &&
        (row.quantity === 'bending' || other.side === opposite[row.side]),
    );
    // Fastenings away from supports are thinned out from one end; those without a mirror image have no partner to compare with.
    if (j < 0 && row.quantity === 'fastening-force') return;
    const sign = mirrorSign(row);
    const [largest, smallest] =
      sign === 1 ? [b.largest[j], b.smallest[j]] : [b.smallest[j], b.largest[j]].map((value) => -value!);
    const entry = found.get(row.quantity) ?? { difference: 0, largest: 0 };
    // A row without its mirror image gives NaN and fails.
    const apart = Math.max(
      Math.abs(a.largest[i]! - (largest ?? Number.NaN)),
      Math.abs(a.smallest[i]! - (smallest ?? Number.NaN)),
    );
    found.set(row.quantity, {
      difference: Math.max(entry.difference, apart),
      largest: Math.max(entry.largest, a.largest[i]!, -a.smallest[i]!),
    });
  });
  return found;
}
