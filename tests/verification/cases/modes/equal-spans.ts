import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { rootsBetween } from '../../independent/root-finding.js';
import { beamFrequencyAt, frequenciesOf } from '../../models/frequencies.js';
import { concreteDeck, uniformSpans, viaductOf } from '../../models/viaducts.js';

const length = 30;
const wanted = 5;

/** Frequency parameters lambda as printed, four decimals: R. D. Blevins, table of multi-span beams, pinned ends (mem). */
const printed: Readonly<Record<number, string>> = {
  1: '3.1416 6.2832 9.4248 12.5664 15.7080',
  2: '3.1416 3.9266 6.2832 7.0686 9.4248',
  3: '3.1416 3.5564 4.2975 6.2832',
};

/** All lambda of N equal spans below 5 pi: lambda = j pi, or the support moments' waves of phase k pi / N. */
function characteristicRoots(spans: number): number[] {
  const roots = [1, 2, 3, 4, 5].map((j) => j * Math.PI);
  for (let k = 1; k < spans; k++) {
    const cosine = Math.cos((k * Math.PI) / spans);
    const f = (x: number) =>
      (Math.cosh(x) / Math.sinh(x)) * Math.sin(x) - Math.cos(x) + cosine * (1 - Math.sin(x) / Math.sinh(x));
    roots.push(...rootsBetween(f, 1, 5 * Math.PI, 500));
  }
  return roots.sort((a, b) => a - b).slice(0, wanted);
}

/** Natural frequencies of continuous beams on rigid supports. */
export const equalSpans: VerificationCase = {
  id: 'equal-spans',
  title: 'Natural frequencies of one to five equal spans',
  source:
    'R. D. Blevins, Formulas for Natural Frequency and Mode Shape (1979), table of multi-span beams with pinned ends (mem), for one to three spans; characteristic equation below, derived here, for all',
  statement: `Uniform beam, N spans of ${length} m, EI = 1.1e11 N m2, m = 15 000 kg/m. f = lambda^2 / (2 pi L^2) sqrt(EI / m). Equality of slopes over each support gives M(i-1) f2 + 2 M(i) f1 + M(i+1) f2 = 0 with f1 = coth lambda - cot lambda, f2 = cosec lambda - cosech lambda; M(i) = sin(i k pi / N) then needs f1 + f2 cos(k pi / N) = 0, k = 1 to N - 1, besides lambda = j pi. The first five modes of each beam.`,
  sketch: beamSketch({
    id: 'equal-spans',
    description: 'Beam over equal spans on rigid supports',
    spans: [1, 1, 1],
    supports: ['rigid', 'rigid', 'rigid', 'rigid'],
    load: 'none',
  }),
  evaluate: () => {
    const quantities = [1, 2, 3, 4, 5].flatMap((spans) => {
      const lambdas = characteristicRoots(spans);
      const top = beamFrequencyAt((lambdas[wanted - 1]! * 1.001) / length, concreteDeck);
      const computed = frequenciesOf(viaductOf(uniformSpans(new Array(spans).fill(length))), top);
      const exact = lambdas.map((lambda, mode) => ({
        name: `${spans} ${spans === 1 ? 'span' : 'spans'}, mode ${mode + 1}`,
        unit: 'Hz',
        reference: beamFrequencyAt(lambda / length, concreteDeck),
        computed: computed[mode] ?? Number.NaN,
        tolerance: relative(2e-5),
        why: 'Cubic elements err by (beta h)^4 / 1440, at most 1.7e-5 with sixteen of them in a wave',
      }));
      const table = (printed[spans]?.split(' ') ?? []).map((lambda, mode) => ({
        name: `${spans} ${spans === 1 ? 'span' : 'spans'}, lambda of mode ${mode + 1} as printed`,
        unit: '-',
        reference: Number(lambda),
        computed: length * Math.sqrt((2 * Math.PI * computed[mode]!) / Math.sqrt(1.1e11 / 15_000)),
        tolerance: relative(4e-5),
        why: 'Half a unit of the fourth decimal printed, 1.6e-5, and half the error of the frequency, 1e-5',
      }));
      return [...exact, ...table];
    });
    return { quantities };
  },
};
