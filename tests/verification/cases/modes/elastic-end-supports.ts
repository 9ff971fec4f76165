import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { rootsBetween } from '../../independent/root-finding.js';
import { beamFrequencyAt, frequenciesOf } from '../../models/frequencies.js';
import { concreteDeck, uniformSpans, viaductOf } from '../../models/viaducts.js';

const length = 30;
const half = length / 2;

function characteristicWaves(stiffness: number): number[] {
  const ratio = (2 * stiffness) / concreteDeck.flexuralRigidity;
  const symmetric = (b: number) =>
    b ** 3 * (Math.sin(b * half) + Math.tanh(b * half) * Math.cos(b * half)) - ratio * Math.cos(b * half);
  const antisymmetric = (b: number) =>
    b ** 3 * (Math.sin(b * half) / Math.tanh(b * half) - Math.cos(b * half)) - ratio * Math.sin(b * half);
  const top = 14 / length;
  return [...rootsBetween(symmetric, 1e-3, top, 2000), ...rootsBetween(antisymmetric, 1e-3, top, 2000)].sort(
    (a, b) => a - b,
  );
}

/** A beam that bounces and rocks on its bearings as well as bending. */
export const elasticEndSupports: VerificationCase = {
  id: 'elastic-end-supports',
  title: 'Beam on elastic end supports',
  source:
    'Characteristic equation of the free beam with end springs, derived here from EI w"" = m w2 w; limits as in S. Timoshenko, D. H. Young and W. Weaver, Vibration Problems in Engineering (1974), section 5.12 (mem)',
  statement: `Uniform beam of ${length} m (EI = 1.1e11 N m2, m = 15 000 kg/m) on a spring k at either end, from soft (rigid-body bounce and rocking) to nearly rigid. With a = L / 2: symmetric modes EI b^3 (tan b a + tanh b a) = 2 k, antisymmetric ones EI b^3 (coth b a - cot b a) = 2 k.`,
  sketch: beamSketch({
    id: 'elastic-end-supports',
    description: 'Beam on two springs',
    spans: [1],
    supports: ['spring', 'spring'],
    load: 'none',
  }),
  evaluate: () => ({
    quantities: [1e6, 1e8, 1e9, 1e11].flatMap((stiffness) => {
      const viaduct = viaductOf(uniformSpans([length]), {
        supportChanges: { 0: { stiffness }, 1: { stiffness } },
      });
      const waves = characteristicWaves(stiffness).slice(0, 4);
      const top = beamFrequencyAt(waves[3]! * 1.001, concreteDeck);
      const computed = frequenciesOf(viaduct, top);
      return waves.map((wave, mode) => ({
        name: `k = ${stiffness.toExponential(0)} N/m, mode ${mode + 1}`,
        unit: 'Hz',
        reference: beamFrequencyAt(wave, concreteDeck),
        computed: computed[mode] ?? Number.NaN,
        tolerance: relative(2e-5),
        why: 'Cubic elements err by (beta h)^4 / 1440, at most 1.7e-5 with sixteen of them in a wave',
      }));
    }),
  }),
};
