import { condenseFrame } from '../../../solver/mesh/plane-frame.js';
import type { Viaduct } from '../../../solver/viaduct/model.js';
import {
  dampedSlabTrack,
  directTrack,
  segment,
  uniformSpans,
  viaductOf,
} from '../../verification/models/viaducts.js';

/** A simple beam of 105 m under the abutments' heads that the columns of S1, S2 and S4 stand on. */
const commonBeam = {
  supports: ['S1', 'S2', 'S4'],
  ...condenseFrame({
    nodes: [0, 20, 40, 85, 105].map((x, i) => ({ x, z: 10, held: i === 0 || i === 4 ? 'pinned' : 'free' })),
    bars: [0, 1, 2, 3].map((i) => ({
      from: i,
      to: i + 1,
      axialRigidity: 1e11,
      flexuralRigidity: 4e12,
      massPerLength: 9000,
    })),
    points: [1, 2, 3],
  }),
};

/** Every form of span, support and track; properties that hold for all structures run over this list. */
export const structures: readonly { readonly name: string; readonly viaduct: Viaduct }[] = [
  { name: 'simple beam', viaduct: viaductOf(uniformSpans([20])) },
  {
    name: 'three simple spans with equal frequencies',
    viaduct: viaductOf(uniformSpans([25, 25, 25]), {
      supportChanges: { 1: { joint: true }, 2: { joint: true } },
    }),
  },
  {
    name: 'equal units that share elastic piers',
    viaduct: viaductOf(uniformSpans([25, 25, 25, 25]), {
      supportChanges: {
        1: { stiffness: 1e10, joint: true },
        2: { stiffness: 1e10, joint: true },
        3: { stiffness: 1e10, joint: true },
      },
    }),
  },
  {
    name: 'continuous, stepped, shear-flexible',
    viaduct: viaductOf(
      [
        { segments: [segment(8), segment(14, { flexuralRigidity: 0.8e11 }), segment(8)] },
        { segments: [segment(36, { shearRigidity: 3e10, massPerLength: 17_000 })] },
      ],
      { supportChanges: { 1: { stiffness: 8e8 } } },
    ),
  },
  {
    name: 'rails fastened to the deck',
    viaduct: viaductOf(uniformSpans([13, 18]), { track: directTrack() }),
  },
  {
    name: 'slab panels on bedding over a joint',
    viaduct: viaductOf(uniformSpans([13, 19.5]), {
      supportChanges: { 1: { joint: true } },
      track: dampedSlabTrack({ slab: { massPerLength: 1600, flexuralRigidity: 2.3e8, panelLength: 6.5 } }),
    }),
  },
  {
    name: 'two tracks beside the axis of a deck that twists',
    viaduct: viaductOf(uniformSpans([18, 22], { torsion: { rigidity: 6e10, rotaryInertia: 1.2e5 } }), {
      supportChanges: {
        0: { bearingSpread: 4 },
        1: { bearingSpread: 4, stiffness: 3e9, joint: true },
        2: { bearingSpread: 4, stiffness: 5e9 },
      },
      track: directTrack(),
      tracks: [{ eccentricity: -2 }, { eccentricity: 2 }],
    }),
  },
  {
    name: 'columns on a common beam that has mass',
    viaduct: viaductOf(uniformSpans([20, 20, 25, 20, 20]), {
      supportChanges: { 1: { stiffness: 3e9 }, 2: { joint: true }, 4: { stiffness: 2e9 } },
      substructure: commonBeam,
    }),
  },
];
