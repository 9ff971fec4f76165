import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { runPassage } from '../../../../solver/passage/passage.js';
import { buildTrainTables } from '../../../../solver/passage/train-tables.js';
import { beamSketch } from '../../book/sketch.js';
import { absolute, type Quantity, relative, type VerificationCase } from '../../book/verification-case.js';
import { beamFrequency, beamResponse } from '../../independent/simple-beam-moving-force.js';
import { passageHistory, rowHistory } from '../../models/passage-history.js';
import { rowAt } from '../../models/rows.js';
import { concreteDeck, trainOf, uniformSpans, viaductOf } from '../../models/viaducts.js';

const length = 30;
const load = 200e3;
const beam = { length, ...concreteDeck, dampingRatio: 0.02 };
const modes = 4;
/** Between the fourth and the fifth; gives 36 elements, so that three tenths of the span is a station. */
const highestFrequency = (beamFrequency(beam, modes) / (2 * Math.PI)) * 1.19;
const speeds = [20, 55, 110];

/** Deflection and acceleration while the force is on the beam and after it has left. */
export const movingForce: VerificationCase = {
  id: 'moving-force',
  title: 'Constant force crossing a simple beam, during and after the passage',
  source:
    'L. Fryba, Vibration of Solids and Structures under Moving Loads (3rd ed. 1999), chapter 1, damped case (mem); closed form per mode written out in independent/simple-beam-moving-force.ts',
  statement: `Simple beam of ${length} m (EI = 1.1e11 N m2, m = 15 000 kg/m, damping 2 %) and a force of 200 kN at 20, 55 and 110 m/s. Deflection at midspan against the full series (60 modes), acceleration at three tenths of the span against the series of the same ${modes} modes; values at instants during the passage and in the free vibration after it, and the peaks that the assessment uses.`,
  sketch: beamSketch({
    id: 'moving-force',
    description: 'A force moving over a simple beam',
    spans: [1],
    supports: ['rigid', 'rigid'],
    load: 'moving force',
  }),
  evaluate: () => {
    const model = buildDynamicModel(viaductOf(uniformSpans([length]), { dampingRatio: 0.02 }), {
      highestFrequency,
    });
    const tables = buildTrainTables(model, trainOf([0], load), 'forward');
    const deflectionRow = rowAt(model, 'deck-deflection', length / 2);
    const accelerationRow = rowAt(model, 'deck-acceleration', 0.3 * length);
    const forces = [{ load, behind: 0 }];
    const exactDeflection = (speed: number, t: number) =>
      beamResponse(beam, 60, speed, forces, length / 2, t).deflection;
    const exactAcceleration = (speed: number, t: number) =>
      beamResponse(beam, modes, speed, forces, 0.3 * length, t).acceleration;
    const quantities: Quantity[] = [];
    const curves: { t: number[]; ours: number[]; exact: number[] } = { t: [], ours: [], exact: [] };
    for (const speed of speeds) {
      const crossing = length / speed;
      const timeStep = crossing / Math.ceil(crossing / 2e-4);
      const steps = Math.round((2.5 * crossing) / timeStep);
      const history = passageHistory(model, tables, speed, timeStep, steps * timeStep, 0);
      const deflections = rowHistory(model, tables, history, deflectionRow);
      const accelerations = rowHistory(model, tables, history, accelerationRow);
      const exact = { deflection: 0, acceleration: 0 };
      for (let k = 0; k <= steps; k++) {
        exact.deflection = Math.max(exact.deflection, exactDeflection(speed, k * timeStep));
        exact.acceleration = Math.max(exact.acceleration, Math.abs(exactAcceleration(speed, k * timeStep)));
        if (speed === 55 && k % 4 === 0) {
          curves.t.push(k * timeStep);
          curves.ours.push(1e3 * deflections[k]!);
          curves.exact.push(1e3 * exactDeflection(speed, k * timeStep));
        }
      }
      const errorOf = (
        ours: Float64Array,
        theirs: (speed: number, t: number) => number,
        scale: number,
        from: number,
        to: number,
      ) => {
        let error = 0;
        for (let k = Math.round(from / timeStep); k <= Math.round(to / timeStep); k++)
          error = Math.max(error, Math.abs(ours[k]! - theirs(speed, k * timeStep)) / scale);
        return error;
      };
      for (const [phase, from, to] of [
        ['during', 0, crossing],
        ['after', crossing, 2.5 * crossing],
      ] as const) {
        quantities.push({
          name: `Largest error of the deflection ${phase} the passage as a share of its peak, ${speed} m/s`,
          unit: '-',
          reference: 0,
          computed: errorOf(deflections, exactDeflection, exact.deflection, from, to),
          tolerance: absolute(1e-3),
          why: 'Linear interpolation of mode and influence lines between samples 0.1 m apart, and statics in place of modes above the fourth',
        });
        quantities.push({
          name: `Largest error of the acceleration ${phase} the passage as a share of its peak, ${speed} m/s`,
          unit: '-',
          reference: 0,
          computed: errorOf(accelerations, exactAcceleration, exact.acceleration, from, to),
          tolerance: absolute(3e-3),
          why: 'Linear interpolation of the mode lines between samples 0.1 m apart, (n pi step / L)^2 / 8 of the fourth mode, and the kinks it makes',
        });
      }
      const peaks = runPassage(model, tables, speed);
      quantities.push({
        name: `Peak deflection at midspan, ${speed} m/s`,
        unit: 'm',
        reference: exact.deflection,
        computed: peaks.largest[deflectionRow]!,
        tolerance: relative(3e-3),
        why: 'Eight samples in a period of the highest mode and a parabola between them',
      });
      quantities.push({
        name: `Peak acceleration at three tenths of the span, ${speed} m/s`,
        unit: 'm/s2',
        reference: exact.acceleration,
        computed: Math.max(peaks.largest[accelerationRow]!, -peaks.smallest[accelerationRow]!),
        tolerance: relative(2e-2),
        why: 'Eight samples in a period of the highest mode: the force is linear over a step, 2 % of that mode, which is a part of the peak',
      });
    }
    return {
      quantities,
      chart: {
        title: 'Deflection at midspan, 55 m/s',
        description: 'The two curves lie on each other',
        xLabel: 'time since the force entered, s',
        yLabel: 'deflection, mm',
        yDownwards: true,
        verticals: [{ x: length / 55, label: 'force leaves', role: 'reference' }],
        series: [
          { label: 'computed', x: curves.t, y: curves.ours, role: 'primary' },
          { label: 'closed form', x: curves.t, y: curves.exact, role: 'secondary' },
        ],
      },
    };
  },
};
