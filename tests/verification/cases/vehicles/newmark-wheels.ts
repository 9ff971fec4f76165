import { buildConsist } from '../../../../solver/vehicle/build-consist.js';
import { runCoupledPassage } from '../../../../solver/vehicle/coupled-passage.js';
import { buildRowInfluence } from '../../../../solver/vehicle/row-influence.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { denseTrack } from '../../independent/track-over-span.js';
import { integratePair, sprungMass } from '../../models/rolling-pair.js';
import { coupledModel } from '../../models/vehicles.js';
import { concreteDeck, directTrack, uniformSpans, viaductOf } from '../../models/viaducts.js';

const spacing = 0.65;
const seats = 31;
const length = seats * spacing;
const fastening = { spacing, stiffness: 80e6, damping: 60e3 };
const rail = { massPerLength: 120, flexuralRigidity: 12.76e6 };
/** Five seats of which a tenth is left. */
const loss = { layer: 'fastening', from: 12 * spacing, to: 17 * spacing, fraction: 0.9 } as const;
const speed = 60;
const apart = 2.5;
const highestFrequency = 500;

/** Wheels, rail, fastenings and deck in one dense model, integrated directly. */
export const newmarkWheels: VerificationCase = {
  id: 'newmark-wheels',
  title: 'Direct integration of the whole system: wheels over lost fastenings',
  source:
    'N. M. Newmark, Journal of the Engineering Mechanics Division 85(3), 1959, constant mean acceleration; dense finite element model of its own in independent/dense-frame.ts, contact in independent/newmark-wheels.ts',
  statement: `Two sprung masses of 11 t on wheelsets of 1.5 t, ${apart} m apart, at ${speed} m/s over rails on fastenings on a simple span of ${length} m; of five pairs of seats a tenth is left. The reference integrates all freedoms; the solver keeps modes to ${highestFrequency} Hz and the static part of the others, between the two wheels as well. Largest unloading of each wheelset and acceleration of each mass.`,
  evaluate: () => {
    const viaduct = viaductOf(uniformSpans([length]), {
      track: directTrack({ rail, fastening, losses: [loss] }),
    });
    const coupled = coupledModel(viaduct, buildConsist([sprungMass, sprungMass]), { highestFrequency });
    const influence = buildRowInfluence(coupled.model, coupled.consist, 'forward');
    const { ride } = runCoupledPassage(coupled, influence, speed);
    const track = denseTrack({
      ...{ spacing, seats, approachSeats: 13, deck: concreteDeck, rail, fastening, slab: null, loss },
    });
    const reference = integratePair(track, apart, spacing, { to: length + 3, speed, timeStep: 2e-4 });
    const why =
      'Steps of 0.2 ms there and of 0.125 ms here; of modes above 500 Hz the static part, and of dashpots the diagonal of their modal matrix';
    return {
      quantities: ['leading', 'trailing'].flatMap((name, k) => [
        {
          name: `Unloading of the ${name} wheelset`,
          unit: '-',
          reference: reference.unloading[k]!,
          computed: 1 - ride.smallestLoads[k]!.value,
          tolerance: relative(3e-2),
          why,
        },
        {
          name: `Acceleration of the ${name} mass`,
          unit: 'm/s2',
          reference: reference.acceleration[k]!,
          computed: ride.floorPeaks[k]!.value,
          tolerance: relative(3e-2),
          why,
        },
      ]),
    };
  },
};
