import { runPassage } from '../../../../solver/passage/passage.js';
import { buildTrainTables } from '../../../../solver/passage/train-tables.js';
import type { Quantity } from '../../../../solver/rows/response-rows.js';
import { buildConsist } from '../../../../solver/vehicle/build-consist.js';
import { runCoupledPassage } from '../../../../solver/vehicle/coupled-passage.js';
import { buildRowInfluence } from '../../../../solver/vehicle/row-influence.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { rowsOf } from '../../models/rows.js';
import { car, coupledModel } from '../../models/vehicles.js';
import { slabTrack, trainOf, uniformSpans, viaductOf } from '../../models/viaducts.js';

const speed = 55;
const compared: readonly Quantity[] = ['deck-acceleration', 'deck-deflection', 'bending', 'support-reaction'];

/** Springs that transmit nothing but weight. */
export const softSuspension: VerificationCase = {
  id: 'soft-suspension',
  title: 'Soft suspension tends to moving forces',
  source: 'Limit of the equations: wheels without mass under constant loads are moving forces (derived here)',
  statement: `Four cars at ${speed} m/s over two simply supported spans of 25 m with slab track, suspensions a thousand times softer, bogies and wheelsets of next to no mass. Largest values over the deck against the passage of the axle loads as constant forces, which is computed by other code.`,
  evaluate: () => {
    const soft = {
      ...car,
      bodyMass: car.bodyMass + 2 * car.bogieMass + 4 * car.wheelsetMass - 60,
      bogieMass: 10,
      bogiePitchInertia: 10,
      wheelsetMass: 10,
      primaryStiffness: car.primaryStiffness / 1000,
      primaryDamping: 0,
      secondaryStiffness: car.secondaryStiffness / 1000,
      secondaryDamping: 0,
    };
    const consist = buildConsist([soft, soft, soft, soft]);
    const coupled = coupledModel(
      viaductOf(uniformSpans([25, 25]), {
        track: slabTrack(),
        dampingRatio: 0.01,
        supportChanges: { 1: { joint: true } },
      }),
      consist,
    );
    const { model } = coupled;
    const { peaks } = runCoupledPassage(coupled, buildRowInfluence(model, consist, 'forward'), speed, {
      samplesPerPeriod: 20,
      longestMove: 0.05,
    });
    const positions = consist.wheels.map(({ position }) => position);
    const forces = trainOf(
      positions,
      consist.wheels.map(({ load }) => load),
    );
    const reference = runPassage(model, buildTrainTables(model, forces, 'forward'), speed);
    const most = (quantity: Quantity, { largest, smallest }: typeof peaks) =>
      rowsOf(model, quantity).reduce((peak, row) => Math.max(peak, largest[row]!, -smallest[row]!), 0);
    return {
      quantities: compared.map((quantity) => ({
        name: `Largest ${quantity}`,
        unit: 'SI',
        reference: most(quantity, reference),
        computed: most(quantity, peaks),
        tolerance: relative(5e-3),
        why: 'Wheelsets of 10 kg and springs of a thousandth still hold a little; peaks found between samples in two ways',
      })),
    };
  },
};
