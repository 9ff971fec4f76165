import { buildConsist } from '../../../../solver/vehicle/build-consist.js';
import { runCoupledPassage } from '../../../../solver/vehicle/coupled-passage.js';
import { buildRowInfluence } from '../../../../solver/vehicle/row-influence.js';
import { absolute, type VerificationCase } from '../../book/verification-case.js';
import { denseTrack } from '../../independent/track-over-span.js';
import { integratePair, sprungMass } from '../../models/rolling-pair.js';
import { coupledModel } from '../../models/vehicles.js';
import { concreteDeck, slabTrack, uniformSpans, viaductOf } from '../../models/viaducts.js';

const spacing = 0.65;
const seats = 31;
const length = seats * spacing;
const fastening = { stiffness: 80e6, damping: 60e3 };
const bedding = { stiffness: 6e7, damping: 4e4 };
const rail = { massPerLength: 120, flexuralRigidity: 12.76e6 };
const slab = { massPerLength: 1600, flexuralRigidity: 2.3e8 };
const dip = { middle: length / 2, length: 1.5, depth: 1e-3 };

/** What the wheels meet on their way. */
interface Way {
  readonly name: string;
  /** m/s */
  readonly speed: number;
  /** m between the wheelsets. */
  readonly apart: number;
  readonly loss: { readonly from: number; readonly to: number; readonly fraction: number };
  readonly levelAt?: (x: number) => number;
}

const ways: readonly Way[] = [
  {
    name: 'dip',
    ...{ speed: 55, apart: 2.5, loss: { from: 0, to: 0, fraction: 0 } },
    levelAt: (x) => {
      const from = x - dip.middle;
      return Math.abs(from) < dip.length / 2
        ? (dip.depth / 2) * (1 + Math.cos((2 * Math.PI * from) / dip.length))
        : 0;
    },
  },
  {
    name: 'lost fastenings',
    ...{ speed: 83, apart: 1.8, loss: { from: 12 * spacing, to: 17 * spacing, fraction: 0.9 } },
  },
];

/** What an assessment finds of wheels on a slab track, beside the whole system integrated directly. */
export const newmarkSlabWheels: VerificationCase = {
  id: 'newmark-slab-wheels',
  title: 'Direct integration of the whole system: wheels over a dip and over lost fastenings of a slab track',
  source:
    'N. M. Newmark, Journal of the Engineering Mechanics Division 85(3), 1959, constant mean acceleration; dense finite element model of its own in independent/track-over-span.ts, contact in independent/newmark-wheels.ts',
  statement: `Two sprung masses of 11 t on wheelsets of 1.5 t over rails and a slab on a simple span of ${length} m. Once the unloaded rail dips by ${1e3 * dip.depth} mm over ${dip.length} m, the masses 2.5 m apart at 55 m/s; once nine tenths of five pairs of fastenings are lost, 1.8 m apart at 83 m/s. The reference integrates all freedoms; the solver keeps what it keeps in every assessment. Largest unloading of each wheelset: with modes to 30 Hz alone it came out 0.4 too large over the dip and 0.07 too small over the lost fastenings.`,
  evaluate: () => ({
    quantities: ways.flatMap((way) => {
      const reference = integrated(way);
      const computed = assessed(way);
      return ['leading', 'trailing'].map((name, k) => ({
        name: `Unloading of the ${name} wheelset, ${way.name}`,
        unit: '-',
        reference: reference[k]!,
        computed: computed[k]!,
        tolerance: absolute(0.03),
        why: 'Of modes above 150 Hz the static part, and of dashpots the diagonal of their modal matrix; a dip of 1.5 m is followed in steps of 0.075 m',
      }));
    }),
  }),
};

function assessed({ speed, apart, loss, levelAt }: Way): readonly number[] {
  const viaduct = viaductOf(uniformSpans([length]), {
    track: slabTrack({
      ...{ rail, slab: { ...slab, panelLength: null } },
      fastening: { spacing, ...fastening },
      bedding: { stiffnessPerLength: bedding.stiffness, dampingPerLength: bedding.damping },
      losses: loss.fraction > 0 ? [{ layer: 'fastening', ...loss }] : [],
    }),
  });
  const consist = buildConsist([sprungMass, sprungMass].map((one) => ({ ...one, length: apart })));
  const profile = levelAt ? { levelAt, everywhere: false, shortestWave: dip.length } : null;
  const coupled = coupledModel(viaduct, consist, {}, profile, 40);
  const influence = buildRowInfluence(coupled.model, consist, 'forward');
  const { ride } = runCoupledPassage(coupled, influence, speed);
  return ride.smallestLoads.map(({ value }) => 1 - value);
}

function integrated({ speed, apart, loss, levelAt }: Way): readonly number[] {
  const track = denseTrack({
    ...{ spacing, seats, approachSeats: 13, deck: concreteDeck, rail, fastening, loss },
    slab: { ...slab, bedding },
  });
  const motion = { to: length + 2, speed, timeStep: 2.5e-4, ...(levelAt && { levelAt }) };
  return integratePair(track, apart, spacing, motion).unloading;
}
