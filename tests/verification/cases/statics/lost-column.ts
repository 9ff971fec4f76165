import { solveDeadLoad } from '../../../../solver/statics/dead-load.js';
import { gravity } from '../../../../solver/viaduct/gravity.js';
import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { columnForces } from '../../independent/two-level-frame.js';
import { twoLevels, twoLevelViaduct } from '../../models/two-level.js';

/** A column gone from a substructure that two columns share. */
export const lostColumn: VerificationCase = {
  id: 'lost-column',
  title: 'Deck on columns of one flexible beam, before and after a column is lost',
  source:
    'Dense finite element solution of deck and beam together, sharing no code with the solver (independent/two-level-frame.ts); elements exact at their nodes',
  statement:
    'Three spans of 20 m (EI = 1.1e11 N m2, 15 000 kg/m), two columns of 2e9 N/m that stand on one simple beam of 60 m (EI = 3e12 N m2) at its thirds. Column forces under the weight of the deck; then the first column is lost and the other one takes its load as far as deck and beam let it.',
  sketch: beamSketch({
    id: 'lost-column',
    description: 'Three continuous spans, the first column lost',
    spans: [20, 20, 20],
    supports: ['rigid', 'lost', 'spring', 'rigid'],
    load: 'uniform',
  }),
  evaluate: () => {
    const load = twoLevels.deck.massPerLength * gravity;
    const intact = solveDeadLoad(twoLevelViaduct(twoLevels)).reactions;
    const damaged = solveDeadLoad(twoLevelViaduct(twoLevels, 'S1')).reactions;
    const before = columnForces(twoLevels, load);
    const [after] = columnForces({ ...twoLevels, columns: twoLevels.columns.slice(1) }, load);
    const quantity = (name: string, reference: number, computed: number) => ({
      name,
      unit: 'N',
      reference,
      computed,
      tolerance: relative(1e-7),
      why: 'Both solutions are exact for these beams; round-off of a dense solution is left',
    });
    return {
      quantities: [
        quantity('First column, both standing', before[0]!, intact[1]!),
        quantity('Second column, both standing', before[1]!, intact[2]!),
        quantity('Second column, the first lost', after!, damaged[2]!),
      ],
    };
  },
};
