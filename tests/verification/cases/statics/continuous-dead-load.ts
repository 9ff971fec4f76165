import { solveDeadLoad, supportPositions } from '../../../../solver/statics/dead-load.js';
import { gravity } from '../../../../solver/viaduct/gravity.js';
import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { reactionsFrom, supportMoments } from '../../independent/three-moment.js';
import { segment, viaductOf } from '../../models/viaducts.js';

const lengths = [24, 36, 30, 27];
const rigidities = [0.9e11, 1.3e11, 1.1e11, 1.0e11];
const masses = [14_000, 17_000, 15_000, 15_500];
const settlement = { support: 2, amount: 0.012 };

/** Dead load and a settled pier. */
export const continuousDeadLoad: VerificationCase = {
  id: 'continuous-dead-load',
  title: 'Dead load and settlement of a continuous deck',
  source:
    'Equation of three moments: B. P. E. Clapeyron, Comptes Rendus 45, 1857; S. Timoshenko, Strength of Materials, part I (mem); solved in independent/three-moment.ts',
  statement:
    'Four spans of 24, 36, 30 and 27 m, each with its own rigidity and mass, under their weight; then the third support 12 mm lower. Support moments and reactions.',
  sketch: beamSketch({
    id: 'continuous-dead-load',
    description: 'Four continuous spans under uniform load',
    spans: lengths,
    supports: ['rigid', 'rigid', 'rigid', 'rigid', 'rigid'],
    load: 'uniform',
  }),
  evaluate: () => {
    const spans = lengths.map((length, index) => ({
      length,
      flexuralRigidity: rigidities[index]!,
      load: masses[index]! * gravity,
    }));
    const deck = lengths.map((length, index) => ({
      segments: [segment(length, { flexuralRigidity: rigidities[index]!, massPerLength: masses[index]! })],
    }));
    const intact = viaductOf(deck);
    const positions = supportPositions(intact);
    const states = [
      { name: 'dead load', settlements: [], viaduct: intact },
      {
        name: 'with settlement',
        settlements: [0, 0, settlement.amount, 0, 0],
        viaduct: viaductOf(deck, {
          supportChanges: { [settlement.support]: { settlement: settlement.amount } },
        }),
      },
    ];
    const why = 'Beam elements are exact for uniform load; only round-off is left';
    const solved = states.map((state) => ({ ...state, computed: solveDeadLoad(state.viaduct) }));
    const quantities = solved.flatMap(({ name, settlements, computed }) => {
      const moments = supportMoments(spans, settlements);
      const reactions = reactionsFrom(spans, moments);
      return [
        ...[1, 2, 3].map((support) => ({
          name: `Moment over support ${support + 1}, ${name}`,
          unit: 'Nm',
          reference: moments[support]!,
          computed: computed.bendingAt(positions[support]!),
          tolerance: relative(1e-7),
          why,
        })),
        ...reactions.map((reference, support) => ({
          name: `Reaction ${support + 1}, ${name}`,
          unit: 'N',
          reference,
          computed: computed.reactions[support]!,
          tolerance: relative(1e-7),
          why,
        })),
      ];
    });
    const total = positions[positions.length - 1]!;
    const x = Array.from({ length: 235 }, (_, k) => (total * k) / 234);
    return {
      quantities,
      chart: {
        title: 'Bending moment along the deck',
        description: 'Sagging drawn downwards',
        xLabel: 'x, m',
        yLabel: 'bending moment, MNm',
        yDownwards: true,
        series: solved.map(({ name, computed }, index) => ({
          label: name,
          x,
          y: x.map((at) => computed.bendingAt(at) / 1e6),
          role: index === 0 ? 'primary' : 'secondary',
        })),
      },
    };
  },
};
