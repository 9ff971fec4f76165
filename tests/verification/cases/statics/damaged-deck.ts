import { solveDeadLoad } from '../../../../solver/statics/dead-load.js';
import { applyDamage } from '../../../../solver/viaduct/damage.js';
import { gravity } from '../../../../solver/viaduct/gravity.js';
import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { solveByForceMethod } from '../../independent/force-method.js';
import { concreteDeck, uniformSpans, viaductOf } from '../../models/viaducts.js';

const lengths = [25, 25, 25, 25];
const weakened = { from: 60, to: 69, fraction: 0.4 };
const pier = 2e9;
const softened = 0.75;

/** What is left of a continuous deck after a pier has gone. */
export const damagedDeck: VerificationCase = {
  id: 'damaged-deck',
  title: 'Damaged continuous deck: pier lost, span cracked, foundation softened',
  source:
    'Force method (J. C. Maxwell 1864, O. Mohr 1874; any text on statically indeterminate structures), solved in independent/force-method.ts',
  statement:
    'Four spans of 25 m on piers of 2e9 N/m under their weight (15 000 kg/m). Pier 2 is lost, pier 4 keeps a quarter of its stiffness, and 9 m of the third span keep 60 % of their flexural rigidity. Reactions, moments and the sag of the 50 m gap.',
  sketch: beamSketch({
    id: 'damaged-deck',
    description: 'Four continuous spans, the second support lost',
    spans: lengths,
    supports: ['rigid', 'lost', 'spring', 'spring', 'rigid'],
    load: 'uniform',
  }),
  evaluate: () => {
    const intact = viaductOf(uniformSpans(lengths), {
      supportChanges: { 1: { stiffness: pier }, 2: { stiffness: pier }, 3: { stiffness: pier } },
    });
    const damaged = applyDamage(intact, [
      { kind: 'support-stiffness-loss', support: 'S1', fraction: 1 },
      { kind: 'support-stiffness-loss', support: 'S3', fraction: softened },
      {
        kind: 'deck-stiffness-loss',
        span: 2,
        from: weakened.from - 50,
        to: weakened.to - 50,
        fraction: weakened.fraction,
      },
    ]);
    const computed = solveDeadLoad(damaged);
    const load = concreteDeck.massPerLength * gravity;
    const { flexuralRigidity } = concreteDeck;
    const reference = solveByForceMethod({
      pieces: [
        { from: 0, to: weakened.from, flexuralRigidity, load },
        {
          from: weakened.from,
          to: weakened.to,
          flexuralRigidity: flexuralRigidity * (1 - weakened.fraction),
          load,
        },
        { from: weakened.to, to: 100, flexuralRigidity, load },
      ],
      supports: [
        { x: 0, flexibility: 0 },
        { x: 50, flexibility: 1 / pier },
        { x: 75, flexibility: 1 / (pier * (1 - softened)) },
        { x: 100, flexibility: 0 },
      ],
    });
    const why = 'Both solutions are exact for this beam; only round-off is left';
    const tolerance = relative(1e-7);
    const standing = [0, 2, 3, 4];
    const x = Array.from({ length: 201 }, (_, k) => k / 2);
    return {
      quantities: [
        ...standing.map((support, index) => ({
          name: `Reaction of support ${support + 1}`,
          unit: 'N',
          reference: reference.reactions[index]!,
          computed: computed.reactions[support]!,
          tolerance,
          why,
        })),
        ...[22, 50, 64.5, 75].map((at) => ({
          name: `Bending moment at ${at} m`,
          unit: 'Nm',
          reference: reference.momentAt(at),
          computed: computed.bendingAt(at),
          tolerance,
          why,
        })),
        ...[25, 50, 64.5, 75, 90].map((at) => ({
          name: `Deflection at ${at} m`,
          unit: 'm',
          reference: reference.deflectionAt(at),
          computed: computed.deflectionAt(at, 'left'),
          tolerance,
          why,
        })),
        {
          name: 'Shear left of support 3',
          unit: 'N',
          reference: reference.shearAt(50 - 1e-9),
          computed: computed.shearAt(50, 'left'),
          tolerance,
          why,
        },
      ],
      chart: {
        title: 'Deflection under dead load',
        description: 'Sag of the span that lost its pier',
        xLabel: 'x, m',
        yLabel: 'deflection, mm',
        yDownwards: true,
        series: [
          {
            label: 'computed',
            x,
            y: x.map((at) => 1e3 * computed.deflectionAt(at, 'left')),
            role: 'primary',
          },
          {
            label: 'force method',
            x: x.filter((_, k) => k % 5 === 0),
            y: x.filter((_, k) => k % 5 === 0).map((at) => 1e3 * reference.deflectionAt(at)),
            role: 'secondary',
          },
        ],
      },
    };
  },
};
