import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { runPassage } from '../../../../solver/passage/passage.js';
import { buildTrainTables } from '../../../../solver/passage/train-tables.js';
import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { largestOn } from '../../independent/peak-search.js';
import { beamFrequency, beamResponse } from '../../independent/simple-beam-moving-force.js';
import { rowAt } from '../../models/rows.js';
import { concreteDeck, trainOf, uniformSpans, viaductOf } from '../../models/viaducts.js';

const length = 20;
const distance = 23;
const axles = 30;
const load = 170e3;
const dampingRatio = 0.01;
const beam = { length, ...concreteDeck, dampingRatio };
const first = beamFrequency(beam, 1) / (2 * Math.PI);
const positions = Array.from({ length: axles }, (_, axle) => axle * distance);

/** Largest midspan acceleration of the first mode by superposing closed forms, sampled through the end of the passage. */
function exactPeak(speed: number): number {
  const forces = positions.map((behind) => ({ load, behind }));
  const end = (positions[axles - 1]! + length) / speed;
  const period = 1 / first;
  return largestOn(
    (t) => Math.abs(beamResponse(beam, 1, speed, forces, length / 2, t).acceleration),
    end - (distance / speed) * 3,
    end + period,
    400,
    30,
  ).value;
}

/** The rhythm of the axles meets the beam. */
export const trainResonance: VerificationCase = {
  id: 'train-resonance',
  title: 'Train resonance at v = f1 D / i',
  source:
    'L. Fryba, Dynamics of Railway Bridges (1996), chapter on regular axle rows (mem); EN 1991-2 6.4.6.2: resonant speeds f D / i (mem); amplitude by superposition of closed forms',
  statement: `${axles} axles of 170 kN at D = ${distance} m over a simple beam of ${length} m, damping 1 %, first mode. Speed of the largest midspan acceleration near f1 D / i for i = 1, 2, 3, and the acceleration itself against the superposition of ${axles} single forces.`,
  sketch: beamSketch({
    id: 'train-resonance',
    description: 'A row of equal axles on a simple beam',
    spans: [1],
    supports: ['rigid', 'rigid'],
    load: 'train',
  }),
  evaluate: () => {
    const model = buildDynamicModel(viaductOf(uniformSpans([length]), { dampingRatio }), {
      highestFrequency: first * 1.01,
    });
    const tables = buildTrainTables(model, trainOf(positions, load), 'forward');
    const row = rowAt(model, 'deck-acceleration', length / 2);
    const ours = (speed: number) => {
      const peaks = runPassage(model, tables, speed, { samplesPerPeriod: 24 });
      return Math.max(peaks.largest[row]!, -peaks.smallest[row]!);
    };
    const quantities = [1, 2, 3].flatMap((order) => {
      const resonance = (first * distance) / order;
      const peak = largestOn(ours, 0.94 * resonance, 1.06 * resonance, 40, 12);
      return [
        {
          name: `Resonance speed, i = ${order}`,
          unit: 'm/s',
          reference: resonance,
          computed: peak.x,
          tolerance: relative(8e-3),
          why: 'The response to one axle changes with speed, which moves the maximum within the width of the resonance, 2 x 1 % damping',
        },
        {
          name: `Acceleration at f1 D / ${order}`,
          unit: 'm/s2',
          reference: exactPeak(resonance),
          computed: ours(resonance),
          tolerance: relative(5e-3),
          why: 'Mesh frequency 4e-7, 24 samples in a period, linear interpolation of the mode line',
        },
      ];
    });
    const speeds = Array.from({ length: 121 }, (_, k) => first * distance * (0.28 + 0.00675 * k));
    return {
      quantities,
      chart: {
        title: 'Midspan acceleration over speed',
        description: 'Peaks at f1 D, f1 D / 2 and f1 D / 3',
        xLabel: 'speed, m/s',
        yLabel: 'acceleration, m/s²',
        verticals: [1, 2, 3].map((order) => ({
          x: (first * distance) / order,
          label: `i = ${order}`,
          role: 'resonance' as const,
        })),
        series: [{ label: 'computed', x: speeds, y: speeds.map(ours), role: 'primary' }],
      },
    };
  },
};
