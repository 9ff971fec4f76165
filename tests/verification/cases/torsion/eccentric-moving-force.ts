import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { quasiStaticPeaks, runPassage } from '../../../../solver/passage/passage.js';
import { buildTrainTables } from '../../../../solver/passage/train-tables.js';
import { twistGauge } from '../../../../solver/rows/twist-rows.js';
import { beamSketch } from '../../book/sketch.js';
import { type Quantity, relative, type VerificationCase } from '../../book/verification-case.js';
import { beamResponse } from '../../independent/simple-beam-moving-force.js';
import { rowAt, rowsOf } from '../../models/rows.js';
import { bearingSpread, twistingDeck, twistingViaduct } from '../../models/torsion.js';
import { trainOf } from '../../models/viaducts.js';

const length = 30;
const load = 200e3;
const eccentricity = 2.2;
const { rigidity, rotaryInertia, massPerLength, flexuralRigidity } = twistingDeck;
const beam = { length, massPerLength, flexuralRigidity, dampingRatio: 0 };

/** Rotation at midspan under a torque that moves: modes sin(n pi x / L), each at rest when the torque enters, free when it has left. */
function rotationAt(speed: number, t: number): number {
  const crossing = length / speed;
  let sum = 0;
  for (let n = 1; n <= 199; n += 2) {
    const w = ((n * Math.PI) / length) * Math.sqrt(rigidity / rotaryInertia);
    const forcing = (n * Math.PI * speed) / length;
    const scale = (2 * load * eccentricity) / (rotaryInertia * length * (w * w - forcing * forcing));
    const q = (time: number) => scale * (Math.sin(forcing * time) - (forcing / w) * Math.sin(w * time));
    const v = (time: number) => scale * forcing * (Math.cos(forcing * time) - Math.cos(w * time));
    const free = t - crossing;
    const now = free <= 0 ? q(t) : q(crossing) * Math.cos(w * free) + (v(crossing) / w) * Math.sin(w * free);
    sum += now * Math.sin((n * Math.PI) / 2);
  }
  return sum;
}

/** A force beside the axis of a simple beam bends and twists it. */
export const eccentricMovingForce: VerificationCase = {
  id: 'eccentric-moving-force',
  title: 'Force beside the axis of a simple beam: standing, and moving',
  source:
    'Standing: P L^3 / 48 EI + P e^2 L / 4 GJ, any text on strength of materials. Moving: L. Fryba, Vibration of Solids and Structures under Moving Loads (3rd ed. 1999), chapter 1 for bending (mem); torsion by the same series with GJ and I_p, derived here',
  statement: `Simple beam of ${length} m on pairs of bearings ${bearingSpread} m apart, a force of 200 kN ${eccentricity} m to the right of the axis. Deflection under the force at midspan, twist over the first 3 m (1.435 m times the torque P e (1 - 3 / L) times 3 / GJ), the right bearing's reaction P / 2 + P e / s; then the largest deflection at midspan, 2.2 m beside the axis, while the force crosses at 20 to 80 m/s.`,
  sketch: beamSketch({
    id: 'eccentric-moving-force',
    description: 'A force moving over a simple beam',
    spans: [1],
    supports: ['rigid', 'rigid'],
    load: 'moving force',
  }),
  evaluate: () => {
    const model = buildDynamicModel(twistingViaduct([length], { tracks: [{ eccentricity }] }), {
      highestFrequency: 90,
    });
    const tables = buildTrainTables(model, trainOf([0], load), 'forward');
    const still = quasiStaticPeaks(model, tables);
    const midspan = rowAt(model, 'deck-deflection', length / 2);
    const right = rowsOf(model, 'bearing-reaction').find(
      (row) => model.rows[row]!.support === 0 && model.rows[row]!.bearing === 'right',
    )!;
    const standing = (name: string, unit: string, reference: number, computed: number): Quantity => ({
      name,
      unit,
      reference,
      computed,
      tolerance: relative(5e-4),
      why: 'Exact at the nodes; influence lines are linear between samples 0.075 m apart, and the force may stand between two',
    });
    const moving = [20, 40, 60, 80].map((speed): Quantity => {
      const crossing = length / speed;
      let reference = 0;
      for (let t = 0; t <= 2.5 * crossing; t += crossing / 4000) {
        const down = beamResponse(beam, 60, speed, [{ load, behind: 0 }], length / 2, t).deflection;
        reference = Math.max(reference, down + eccentricity * rotationAt(speed, t));
      }
      return {
        name: `Peak deflection at midspan under the track, ${speed} m/s`,
        unit: 'm',
        reference,
        computed: runPassage(model, tables, speed).largest[midspan]!,
        tolerance: relative(3e-3),
        why: 'Eight samples in a period of the highest mode, statics in place of modes above 90 Hz',
      };
    });
    return {
      quantities: [
        standing(
          'Deflection under the standing force',
          'm',
          (load * length ** 3) / (48 * flexuralRigidity) +
            (load * eccentricity ** 2 * length) / (4 * rigidity),
          still.largest[midspan]!,
        ),
        standing(
          'Twist over 3 m',
          'm',
          (twistGauge * load * eccentricity * (1 - 3 / length) * 3) / rigidity,
          Math.max(...rowsOf(model, 'deck-twist').map((row) => still.largest[row]!)),
        ),
        standing(
          'Reaction of the right bearing',
          'N',
          load / 2 + (load * eccentricity) / bearingSpread,
          still.largest[right]!,
        ),
        ...moving,
      ],
    };
  },
};
