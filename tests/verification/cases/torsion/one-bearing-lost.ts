import { solveDeadLoad } from '../../../../solver/statics/dead-load.js';
import { releaseLiftedBearings } from '../../../../solver/statics/lift-off.js';
import { applyDamage } from '../../../../solver/viaduct/damage.js';
import { gravity } from '../../../../solver/viaduct/gravity.js';
import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { bearingSpread, twistingDeck, twistingViaduct } from '../../models/torsion.js';

const span = 25;
const { rigidity, massPerLength, flexuralRigidity } = twistingDeck;

/** The left one of two bearings over the pier of a deck of two spans is lost. */
export const oneBearingLost: VerificationCase = {
  id: 'one-bearing-lost',
  title: 'Deck of two spans that lost one of two bearings over its pier',
  source:
    'Force method with the reaction R of the bearing that is left, derived here: the deck without the pier goes down by 5 q (2 L)^4 / 384 EI over it, and R lifts the point above its bearing by (2 L)^3 / 48 EI + s^2 L / 8 GJ times R. Released: three bearings carry the deck by equilibrium alone',
  statement: `Two spans of ${span} m under their own weight q, pairs of rigid bearings s = ${bearingSpread} m apart; the left one over the pier is gone. R times s / 2 turns the deck: the abutments hold it with a quarter of R each, the left bearings bear q L / 2, the right ones q L / 2 - R / 2, and pull. The deck turns by R s L / 4 GJ over the pier. With the right bearings at the abutments released, R is half of the weight and each left bearing has a quarter.`,
  sketch: beamSketch({
    id: 'one-bearing-lost',
    description: 'A beam on three supports under uniform load',
    spans: [1, 1],
    supports: ['rigid', 'spring', 'rigid'],
    load: 'uniform',
  }),
  evaluate: () => {
    const viaduct = applyDamage(twistingViaduct([span, span]), [
      { kind: 'bearing-loss', support: 'S1', side: 'left' },
    ]);
    const held = solveDeadLoad(viaduct);
    const { lifted, state } = releaseLiftedBearings(viaduct);
    const load = massPerLength * gravity;
    const sag = (5 * load * (2 * span) ** 4) / (384 * flexuralRigidity);
    const lift = (2 * span) ** 3 / (48 * flexuralRigidity) + (bearingSpread ** 2 * span) / (8 * rigidity);
    const left = sag / lift;
    const reactionOf = ({ bearings }: typeof held, support: number, side: 'left' | 'right') =>
      bearings.find((line) => line.support === support && line.side === side)?.reaction ?? Number.NaN;
    const exact = (name: string, unit: string, reference: number, computed: number) => ({
      name,
      unit,
      reference,
      computed,
      tolerance: relative(1e-5),
      why: 'Exact elements; the bearing beside the axis is a spring of 1e13 N/m in place of a rigid point, which yields by 1e-6 of the sag',
    });
    return {
      quantities: [
        exact('Bearing that is left over the pier', 'N', left, reactionOf(held, 1, 'right')),
        exact('Left bearing at the abutment', 'N', (load * span) / 2, reactionOf(held, 0, 'left')),
        {
          ...exact(
            'Right bearing at the abutment, held down',
            'N',
            (load * span) / 2 - left / 2,
            reactionOf(held, 0, 'right'),
          ),
          tolerance: relative(5e-5),
          why: 'As above, five times as large beside a difference that is a fifth of its parts',
        },
        exact(
          'Rotation over the pier, left side down',
          'rad',
          -(left * bearingSpread * span) / (4 * rigidity),
          held.twistAt(span, 'left'),
        ),
        exact('Bearings that lift off', '-', 2, lifted.length),
        exact(
          'Over the pier, right bearings at the abutments released',
          'N',
          load * span,
          state ? reactionOf(state, 1, 'right') : Number.NaN,
        ),
        exact(
          'Left bearing at the abutment, released',
          'N',
          (load * span) / 2,
          state ? reactionOf(state, 2, 'left') : Number.NaN,
        ),
      ],
    };
  },
};
