import { buildConsist } from '../../../../solver/vehicle/build-consist.js';
import { runCoupledPassage } from '../../../../solver/vehicle/coupled-passage.js';
import { buildRowInfluence } from '../../../../solver/vehicle/row-influence.js';
import type { SprungMass } from '../../../../solver/vehicle/vehicle-parameters.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { assembleDense, type Frame, freedomsOf, hermite } from '../../independent/dense-frame.js';
import { rollOver } from '../../independent/newmark-wheels.js';
import { coupledModel } from '../../models/vehicles.js';
import { concreteDeck, directTrack, uniformSpans, viaductOf } from '../../models/viaducts.js';

const spacing = 0.65;
const seats = 31;
const length = seats * spacing;
const approachSeats = 13;
const fastening = { spacing, stiffness: 80e6, damping: 60e3 };
const rail = { massPerLength: 120, flexuralRigidity: 12.76e6 };
/** Five seats of which a tenth is left. */
const loss = { layer: 'fastening', from: 12 * spacing, to: 17 * spacing, fraction: 0.9 } as const;
const speed = 60;
const apart = 2.5;
const highestFrequency = 500;

const vehicle: SprungMass = {
  kind: 'sprung-mass',
  length: apart,
  mass: 11e3,
  stiffness: 1.6e6,
  damping: 25e3,
  wheelsetMass: 1500,
  contactStiffness: 2.8e9,
  passengers: true,
};

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
    const coupled = coupledModel(viaduct, buildConsist([vehicle, vehicle]), { highestFrequency });
    const influence = buildRowInfluence(coupled.model, coupled.consist, 'forward');
    const { ride } = runCoupledPassage(coupled, influence, speed);
    const reference = integrated();
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

function integrated() {
  // Rail nodes at every seat and in the middle of every bay; deck nodes at the supports and under every seat.
  const bays = seats + 2 * approachSeats - 1;
  const railX = Array.from({ length: 2 * bays + 1 }, (_, k) => (k / 2 - approachSeats + 0.5) * spacing);
  const deckX = [0, ...Array.from({ length: seats }, (_, k) => (k + 0.5) * spacing), length];
  const firstRail = deckX.length;
  const rails = railX.slice(1).map((_, k) => ({
    from: firstRail + k,
    to: firstRail + k + 1,
    length: spacing / 2,
    ...rail,
  }));
  const frame = (share: number): Frame => ({
    nodes: deckX.length + railX.length,
    elements: [
      ...deckX.slice(1).map((x, k) => ({ from: k, to: k + 1, length: x - deckX[k]!, ...concreteDeck })),
      ...rails,
    ],
    springs: Array.from({ length: bays + 1 }, (_, k) => {
      const seat = k - approachSeats;
      const x = (seat + 0.5) * spacing;
      const left = x > loss.from && x < loss.to ? 1 - loss.fraction : 1;
      return {
        upper: 2 * (firstRail + 2 * k),
        lower: seat >= 0 && seat < seats ? 2 * (seat + 1) : null,
        stiffness: share * left,
      };
    }),
    held: [0, 2 * (deckX.length - 1)],
  });
  const system = assembleDense(frame(fastening.stiffness));
  const dashpots = assembleDense({ ...frame(fastening.damping), elements: [] }).stiffness;
  const { rowOf } = system;
  const shapesAt = (x: number) => {
    const weights = new Float64Array(system.stiffness.rows);
    const index = Math.min(rails.length - 1, Math.floor((2 * (x - railX[0]!)) / spacing));
    const element = rails[index]!;
    hermite(element.length, x - railX[index]!).forEach((shape, k) => {
      weights[rowOf[freedomsOf(element)[k]!]!]! += shape;
    });
    return weights;
  };
  const weight = (vehicle.mass + vehicle.wheelsetMass) * 9.81;
  const unloading = [0, 0];
  const acceleration = [0, 0];
  // The start, from rest under wheels that run at once, has died away on the fastenings before the deck.
  const from = railX[0]! + apart + spacing;
  const motion = { from, to: length + 3, speed, timeStep: 2e-4 };
  const vehicles = [0, apart].map((behind) => ({ ...vehicle, behind }));
  rollOver(system, dashpots, vehicles, motion, shapesAt, (head, forces, accelerations) => {
    if (head < 0) return;
    forces.forEach((force, k) => {
      unloading[k] = Math.max(unloading[k]!, 1 - force / weight);
      acceleration[k] = Math.max(acceleration[k]!, Math.abs(accelerations[k]!));
    });
  });
  return { unloading, acceleration };
}
