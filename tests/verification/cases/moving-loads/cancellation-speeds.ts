import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { buildTrainTables } from '../../../../solver/passage/train-tables.js';
import { beamSketch } from '../../book/sketch.js';
import { absolute, relative, type VerificationCase } from '../../book/verification-case.js';
import { beamFrequency } from '../../independent/simple-beam-moving-force.js';
import { passageHistory, rowHistory } from '../../models/passage-history.js';
import { rowAt } from '../../models/rows.js';
import { concreteDeck, trainOf, uniformSpans, viaductOf } from '../../models/viaducts.js';

const length = 30;
const load = 200e3;
const beam = { length, ...concreteDeck, dampingRatio: 0 };
const omega = beamFrequency(beam, 1);
const scale = (2 * load) / (concreteDeck.massPerLength * length);

/** Amplitude of the acceleration of the free vibration at midspan, first mode. */
const closedForm = (alpha: number) =>
  (scale * 2 * alpha * Math.abs(Math.cos(Math.PI / (2 * alpha)))) / (1 - alpha * alpha);

/** At some speeds a force leaves the beam at rest. */
export const cancellationSpeeds: VerificationCase = {
  id: 'cancellation-speeds',
  title: 'Cancellation speeds of a single force',
  source:
    'E. Savin, Journal of Sound and Vibration 248(2), 2001; P. Museros, E. Moliner and M. D. Martinez-Rodrigo, Journal of Sound and Vibration 332(2), 2013 (mem); amplitude derived here',
  statement: `First mode of an undamped simple beam of ${length} m under one force at c = alpha 2 f1 L. The free vibration of the acceleration has the amplitude (2 P / (m L)) 2 alpha |cos(pi / (2 alpha))| / (1 - alpha^2): none at alpha = 1 / 3, 1 / 5, 1 / 7, ...`,
  sketch: beamSketch({
    id: 'cancellation-speeds',
    description: 'A force that has crossed a simple beam',
    spans: [1],
    supports: ['rigid', 'rigid'],
    load: 'moving force',
  }),
  evaluate: () => {
    const model = buildDynamicModel(viaductOf(uniformSpans([length])), {
      highestFrequency: (omega / (2 * Math.PI)) * 1.01,
      lineStep: 0.05,
      refinement: 2,
    });
    const tables = buildTrainTables(model, trainOf([0], load), 'forward');
    const row = rowAt(model, 'deck-acceleration', length / 2);
    const freeAmplitude = (alpha: number) => {
      const speed = (alpha * omega * length) / Math.PI;
      const crossing = length / speed;
      const period = (2 * Math.PI) / omega;
      const steps = Math.ceil(crossing / (period / 400));
      const timeStep = crossing / steps;
      const history = passageHistory(model, tables, speed, timeStep, crossing + 1.05 * period, 0);
      const values = rowHistory(model, tables, history, row);
      let amplitude = 0;
      for (let k = steps; k < values.length; k++) amplitude = Math.max(amplitude, Math.abs(values[k]!));
      return amplitude;
    };
    const alphas = Array.from({ length: 67 }, (_, k) => 0.1 + 0.0075 * k);
    return {
      quantities: [
        ...[3, 5, 7].map((odd) => ({
          name: `Free vibration at alpha = 1/${odd} as a share of that at alpha = 1/${odd + 1}`,
          unit: '-',
          reference: 0,
          computed: freeAmplitude(1 / odd) / closedForm(1 / (odd + 1)),
          tolerance: absolute(1e-3),
          why: 'Frequency of the mesh and linear interpolation of the mode line shift the speed by 1e-5 of it',
        })),
        ...[0.6, 1 / 2, 1 / 4, 1 / 6].map((alpha) => ({
          name: `Free vibration at alpha = ${alpha.toFixed(4)}`,
          unit: 'm/s2',
          reference: closedForm(alpha),
          computed: freeAmplitude(alpha),
          tolerance: relative(1e-3),
          why: '400 samples in a period miss the crest by 3e-5 at most; linear interpolation of the mode line',
        })),
      ],
      chart: {
        title: 'Amplitude of the free vibration over speed',
        description: 'Lobes between zeros at odd fractions of the critical speed',
        xLabel: 'alpha = c / (2 f1 L)',
        yLabel: 'acceleration at midspan, m/s²',
        verticals: [3, 5, 7].map((odd) => ({ x: 1 / odd, label: `1/${odd}`, role: 'reference' as const })),
        series: [
          { label: 'computed', x: alphas, y: alphas.map(freeAmplitude), role: 'primary' },
          { label: 'closed form', x: alphas, y: alphas.map(closedForm), role: 'secondary' },
        ],
      },
    };
  },
};
