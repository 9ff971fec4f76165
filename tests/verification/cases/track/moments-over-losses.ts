import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { wholeLine } from '../../../../solver/lines/line-samples.js';
import { deadTrackMoments } from '../../../../solver/rows/track-moments.js';
import type { LayerLoss } from '../../../../solver/viaduct/model.js';
import { beamSketch } from '../../book/sketch.js';
import { absolute, relative, type VerificationCase } from '../../book/verification-case.js';
import { rowsOf } from '../../models/rows.js';
import { slabTrack, uniformSpans, viaductOf } from '../../models/viaducts.js';

const wheel = 100e3;
const spacing = 0.1;
const rail = { massPerLength: 120, flexuralRigidity: 12.76e6 };
const slab = { massPerLength: 1600, flexuralRigidity: 2.3e8, panelLength: null };
const bedding = { stiffnessPerLength: 6e7, dampingPerLength: 0 };
const fastening = { spacing, stiffness: (80e6 / 0.65) * spacing, damping: 0 };
/** Odd number of seats, so that one stands at midspan. */
const span = 8.1;
const everywhere = { from: -20, to: span + 20, fraction: 0.5 };
/** Between nodes of the mesh, which stand at every seat. */
const hollow = { from: 2.05, to: 6.05 };

/** Slab and rails on halved layers under a wheel, and the slab over a hollow under its own weight. */
export const momentsOverLosses: VerificationCase = {
  id: 'moments-over-losses',
  title: 'Slab and rails on softened layers under a wheel, and over a hollow under their own weight',
  source:
    'two beams on elastic layers by the Fourier integral of the coupled equations, derived here (single beam: H. Zimmermann, Die Berechnung des Eisenbahnoberbaues, 1888 (mem)); equilibrium of a stretch that nothing holds from below',
  statement: `Rails on fastenings of 80e6 / 0.65 N/m per metre, spaced ${spacing} m, slab (EI = 2.3e8 N m2) on bedding of 6e7 N/m per metre, half of both layers lost everywhere, on a rigid deck, one wheel of 100 kN: M(0) = EI (P / pi) integral of s^2 times the transform of each beam. Where the bedding is gone over ${(hollow.to - hollow.from).toFixed(1)} m, the weight q of slab and rails makes M at the middle less the mean of M at both ends q l^2 / 8, whatever holds the ends.`,
  sketch: beamSketch({
    id: 'moments-over-losses',
    description: 'A wheel on a track whose layers are softened',
    spans: [1],
    supports: ['rigid', 'rigid'],
    load: 'moving force',
    track: 'slab',
  }),
  evaluate: () => {
    const softened = modelOf([
      { layer: 'bedding', ...everywhere },
      { layer: 'fastening', ...everywhere },
    ]);
    const why =
      'Springs 0.1 m apart instead of a continuum; the moment of the rail is exact below a wheel, its reference is one of a continuum';
    return {
      quantities: [
        {
          name: 'Moment of the slab under the wheel',
          unit: 'Nm',
          reference: twoLayerMoment('slab'),
          computed: largestMoment(softened, 'slab-bending'),
          tolerance: relative(5e-3),
          why,
        },
        {
          name: 'Moment of the rails under the wheel',
          unit: 'Nm',
          reference: twoLayerMoment('rail'),
          computed: largestMoment(softened, 'rail-bending'),
          tolerance: relative(5e-3),
          why,
        },
        {
          name: 'Moment over the hollow, middle less mean of the ends',
          unit: 'Nm',
          reference: ((slab.massPerLength + rail.massPerLength) * 9.81 * (hollow.to - hollow.from) ** 2) / 8,
          computed: risenOverHollow(),
          tolerance: absolute(1),
          why: 'Equilibrium holds to rounding at the nodes',
        },
      ],
    };
  },
};

type Model = ReturnType<typeof buildDynamicModel>;

function modelOf(losses: readonly LayerLoss[]): Model {
  const track = slabTrack({ rail, fastening, slab, bedding, losses });
  const viaduct = viaductOf(uniformSpans([span], { flexuralRigidity: 1e16 }), { track });
  return buildDynamicModel(viaduct, { lineStep: spacing / 2, momentsOf: ['slab', 'rail'] });
}

/** Under one wheel, at the place nearest to midspan. */
function largestMoment(model: Model, quantity: 'slab-bending' | 'rail-bending'): number {
  const row = rowsOf(model, quantity).reduce((best, one) =>
    Math.abs(model.rows[one]!.x - span / 2) < Math.abs(model.rows[best]!.x - span / 2) ? one : best,
  );
  return wheel * Math.max(...wholeLine(model.influenceLines[row]!, model.line.count));
}

/** Slab and rails together, since the fastenings hand weight from one to the other. */
function risenOverHollow(): number {
  const model = modelOf([{ layer: 'bedding', ...hollow, fraction: 1 }]);
  const moments = deadTrackMoments(model.mesh, model.rows, () => () => 0);
  const at = (x: number) =>
    [...rowsOf(model, 'slab-bending'), ...rowsOf(model, 'rail-bending')]
      .filter((row) => Math.abs(model.rows[row]!.x - x) < 1e-6)
      .reduce((sum, row) => sum + moments[row]!, 0);
  return at((hollow.from + hollow.to) / 2) - (at(hollow.from) + at(hollow.to)) / 2;
}

/** EI (P / pi) times the integral over wave numbers of s^2 times the receptance of a beam; trapezoidal rule. */
function twoLayerMoment(layer: 'slab' | 'rail'): number {
  const fastened = fastening.stiffness / spacing / 2;
  const bedded = bedding.stiffnessPerLength / 2;
  const receptance = (s: number) => {
    const upper = rail.flexuralRigidity * s ** 4 + fastened;
    const lower = slab.flexuralRigidity * s ** 4 + fastened + bedded;
    return (layer === 'rail' ? lower : fastened) / (upper * lower - fastened ** 2);
  };
  const step = 1e-3;
  const last = 600_000;
  let sum = 0;
  for (let k = 1; k <= last; k++) sum += (k * step) ** 2 * receptance(k * step);
  const rigidity = layer === 'rail' ? rail.flexuralRigidity : slab.flexuralRigidity;
  // Beyond the last wave number the rails' receptance is 1 / (EI s^4), the slab's nothing.
  const tail = layer === 'rail' ? 1 / (rigidity * last * step) : 0;
  return (rigidity * wheel * (sum * step + tail)) / Math.PI;
}
