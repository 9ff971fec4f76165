import type { DeckMovement } from '../../../../solver/held-track/held-track.js';
import { buildMesh } from '../../../../solver/mesh/mesh.js';
import { buildResponseRows } from '../../../../solver/rows/build-response-rows.js';
import { deadTrackMoments } from '../../../../solver/rows/track-moments.js';
import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { slabTrack, uniformSpans, viaductOf } from '../../models/viaducts.js';

const spacing = 0.1;
const span = 16;
const rigidity = 2.3e8;
const bedding = 6e7;
const beta = (bedding / (4 * rigidity)) ** 0.25;
/** rad */
const kink = 2e-3;
/** m */
const step = 2e-3;

/** The slab over a joint whose sides have turned against each other, or one of which has sunk. */
export const slabOverMovedJoint: VerificationCase = {
  id: 'slab-over-moved-joint',
  title: 'Slab over a joint of the deck that has turned or stepped',
  source:
    'an infinite beam on springs whose feet are displaced, by superposing point loads k g(x) dx (M. Hetényi, Beams on Elastic Foundation, 1946 (mem))',
  statement: `Slab (EI = 2.3e8 N m2) on bedding of k = 6e7 N/m per metre of a deck that is level before the joint. Behind it the deck falls by ${1e3 * kink} mm/m: M = -EI beta theta / 2 at the joint. Or it lies ${1e3 * step} mm lower: M is largest at beta x = pi / 4 on either side, EI beta^2 step exp(-pi / 4) sin(pi / 4), hogging before the joint and sagging behind it; beta = (k / 4 EI)^(1/4).`,
  sketch: beamSketch({
    id: 'slab-over-moved-joint',
    description: 'A slab that runs on over a joint of the deck',
    spans: [1, 1],
    supports: ['rigid', 'joint', 'rigid'],
    load: 'none',
    track: 'slab',
  }),
  evaluate: () => {
    const turned = slabMoments((x) => kink * Math.max(0, x - span));
    const stepped = slabMoments((x, side) => (x > span || (x === span && side === 'right') ? step : 0));
    const atStep = rigidity * beta ** 2 * step * Math.exp(-Math.PI / 4) * Math.sin(Math.PI / 4);
    const why = 'Springs 0.1 m apart instead of a continuum, rails of next to no rigidity';
    const quantity = (name: string, reference: number, computed: number, tolerance: number) => ({
      ...{ name, unit: 'Nm' as const, reference, computed, why },
      tolerance: relative(tolerance),
    });
    return {
      quantities: [
        quantity('Moment over the kink', (-rigidity * beta * kink) / 2, Math.min(...turned), 5e-3),
        quantity('Hogging before the step', -atStep, Math.min(...stepped), 1e-2),
        quantity('Sagging behind the step', atStep, Math.max(...stepped), 1e-2),
      ],
    };
  },
};

/** Of a deck held in its new place, without what rail and slab weigh. */
function slabMoments(moved: DeckMovement): Float64Array {
  const track = slabTrack({
    rail: { massPerLength: 1e-6, flexuralRigidity: 1 },
    fastening: { spacing, stiffness: 1e7, damping: 0 },
    slab: { massPerLength: 1e-6, flexuralRigidity: rigidity, panelLength: null },
    bedding: { stiffnessPerLength: bedding, dampingPerLength: 0 },
    losses: [],
  });
  const viaduct = viaductOf(uniformSpans([span, span], { flexuralRigidity: 1e16 }), { track });
  const [first, middle, last] = viaduct.supports;
  const jointed = { ...viaduct, supports: [first!, { ...middle!, joint: true }, last!] };
  const mesh = buildMesh(jointed, { highestFrequency: 0 });
  const rows = buildResponseRows(mesh, jointed, ['slab']);
  // At the far end of the second deck the ground behind stays.
  return deadTrackMoments(mesh, rows, () => moved).filter(
    (_, row) => Math.abs(rows[row]!.x - span) < span / 2,
  );
}
