import { absolute, type VerificationCase } from '../../book/verification-case.js';
import { beamFrequencyAt, frequenciesOf } from '../../models/frequencies.js';
import { concreteDeck, uniformSpans, viaductOf } from '../../models/viaducts.js';

const length = 40;
const modes = [4, 6, 8];
const refinements = [1, 2, 4];

/** Not only a small error, but one that falls as the theory of the element says. */
export const orderOfConvergence: VerificationCase = {
  id: 'order-of-convergence',
  title: 'Order of convergence of frequencies',
  source:
    'G. Strang and G. J. Fix, An Analysis of the Finite Element Method (1973), section 6.3: eigenvalues of cubic beam elements converge as h^4 (mem)',
  statement: `Simple beam of ${length} m, meshed with 20, 40 and 80 elements. The order is log2 of the ratio of two successive errors against f = n^2 pi / (2 L^2) sqrt(EI / m).`,
  evaluate: () => {
    const viaduct = viaductOf(uniformSpans([length]));
    const exact = (mode: number) => beamFrequencyAt((mode * Math.PI) / length, concreteDeck);
    const found = refinements.map((refinement) => frequenciesOf(viaduct, exact(8) * 1.05, 1, refinement));
    const errors = modes.map((mode) => found.map((values) => values[mode - 1]! / exact(mode) - 1));
    return {
      quantities: modes.flatMap((mode, index) =>
        [0, 1].map((step) => ({
          name: `Mode ${mode}, ${20 * refinements[step]!} to ${20 * refinements[step + 1]!} elements`,
          unit: '-',
          reference: 4,
          computed: Math.log2(errors[index]![step]! / errors[index]![step + 1]!),
          tolerance: absolute(0.15),
          why: 'The next term of the error is of order h^6 and shifts the observed order by up to 0.1 on the coarsest mesh',
        })),
      ),
      chart: {
        title: 'Error of the frequency against the number of elements',
        description: 'Straight lines of slope -4 on logarithmic scales',
        xLabel: 'log10 of the number of elements',
        yLabel: 'log10 of the relative error',
        series: modes.map((mode, index) => ({
          label: `mode ${mode}`,
          x: refinements.map((refinement) => Math.log10(20 * refinement)),
          y: errors[index]!.map((error) => Math.log10(Math.abs(error))),
          role: (['primary', 'secondary', 'reference'] as const)[index]!,
        })),
      },
    };
  },
};
