import { atLeast, relative, type VerificationCase } from '../../book/verification-case.js';
import { denseModes } from '../../independent/dense-frame.js';
import { twoLevelSystem } from '../../independent/two-level-frame.js';
import { frequenciesOf } from '../../models/frequencies.js';
import { twoLevels, twoLevelViaduct } from '../../models/two-level.js';

/** A substructure condensed on its columns against the same one with all of its freedoms. */
export const condensedFrame: VerificationCase = {
  id: 'condensed-frame',
  title: 'Deck on a condensed frame against the whole structure',
  source:
    'Dense eigensolution of deck and beam together, sharing no code with the solver (independent/two-level-frame.ts); R. J. Guyan, AIAA Journal 3(2), 1965 (mem): a condensed system is a constrained one, its frequencies are upper bounds',
  statement:
    'The deck of the example lost-column on its two columns and the beam below them, which weighs 2000 kg/m. Frequencies with the beam condensed on the column heads, stiffness and mass, against those with every freedom of the beam.',
  evaluate: () => {
    const { frequencies } = denseModes(twoLevelSystem({ ...twoLevels, element: 1 }));
    const computed = frequenciesOf(twoLevelViaduct(twoLevels), frequencies[3]! * 1.02);
    return {
      quantities: [0, 1, 2].flatMap((mode) => [
        {
          name: `Mode ${mode + 1}`,
          unit: 'Hz',
          reference: frequencies[mode]!,
          computed: computed[mode] ?? Number.NaN,
          tolerance: relative(2e-3),
          why: 'The beam between its columns, at three times these frequencies and a seventh of the mass, moves statically to about (1/3)^2 / 7 of its share',
        },
        {
          name: `Mode ${mode + 1}, not below`,
          unit: 'Hz',
          reference: frequencies[mode]! * (1 - 2e-6),
          computed: computed[mode] ?? Number.NaN,
          tolerance: atLeast,
          why: 'Constraints never lower a frequency; elements of 1 m raise those of the reference by (beta h)^4 / 1440, 4e-7',
        },
      ]),
    };
  },
};
