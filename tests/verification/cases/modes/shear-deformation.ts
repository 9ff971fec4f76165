import { solveDeadLoad } from '../../../../solver/statics/dead-load.js';
import { gravity } from '../../../../solver/viaduct/gravity.js';
import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { beamFrequencyAt, frequenciesOf } from '../../models/frequencies.js';
import { concreteDeck, uniformSpans, viaductOf } from '../../models/viaducts.js';

const length = 12;
const shearRigidity = 2.2e10;

/** A stocky beam: shear deformation lowers frequencies and adds deflection. */
export const shearDeformation: VerificationCase = {
  id: 'shear-deformation',
  title: 'Shear-flexible simple beam: frequencies and deflection',
  source:
    'S. Timoshenko, Vibration Problems in Engineering (2nd ed. 1937), section 54 (mem), without the rotary inertia that the element leaves out; deflection: bending 5 q L^4 / (384 EI) plus shear q L^2 / (8 GA)',
  statement: `Simple beam of ${length} m, EI = 1.1e11 N m2, GA = ${shearRigidity.toExponential(1)} N, m = 15 000 kg/m. sin(n pi x / L) is the exact shape: w^2 = (EI k^4 / m) / (1 + EI k^2 / GA), k = n pi / L. Midspan deflection under its own weight.`,
  sketch: beamSketch({
    id: 'shear-deformation',
    description: 'Simple beam under its own weight',
    spans: [1],
    supports: ['rigid', 'rigid'],
    load: 'uniform',
  }),
  evaluate: () => {
    const viaduct = viaductOf(uniformSpans([length], { shearRigidity }));
    const frequency = (mode: number) => {
      const wave = (mode * Math.PI) / length;
      const softening = 1 + (concreteDeck.flexuralRigidity * wave * wave) / shearRigidity;
      return beamFrequencyAt(wave, concreteDeck) / Math.sqrt(softening);
    };
    const ordinary = frequenciesOf(viaduct, frequency(1) * 1.01);
    const fine = frequenciesOf(viaduct, frequency(4) * 1.01, 1, 8);
    const load = concreteDeck.massPerLength * gravity;
    const bending = (5 * load * length ** 4) / (384 * concreteDeck.flexuralRigidity);
    return {
      quantities: [
        {
          name: 'Frequency of mode 1, ordinary mesh',
          unit: 'Hz',
          reference: frequency(1),
          computed: ordinary[0] ?? Number.NaN,
          tolerance: relative(3e-4),
          why: 'In shear the element is linear: its share s / (1 + s) of the flexibility, s = EI k^2 / GA, errs by (k h)^2 / 24; 2.6e-4 with twenty elements',
        },
        ...[1, 2, 3, 4].map((mode) => ({
          name: `Frequency of mode ${mode}, elements divided by eight`,
          unit: 'Hz',
          reference: frequency(mode),
          computed: fine[mode - 1] ?? Number.NaN,
          tolerance: relative(3e-4),
          why: 'The same error, 2.2e-4 for the fourth mode with 160 elements',
        })),
        {
          name: 'Deflection at midspan',
          unit: 'm',
          reference: bending + (load * length * length) / (8 * shearRigidity),
          computed: solveDeadLoad(viaduct).deflectionAt(length / 2, 'left'),
          tolerance: relative(1e-8),
          why: 'The element is exact in statics; only round-off is left',
        },
      ],
    };
  },
};
