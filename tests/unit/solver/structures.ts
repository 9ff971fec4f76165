import type { Viaduct } from '../../../solver/model.js';
import {
  dampedSlabTrack,
  directTrack,
  segment,
  uniformSpans,
  viaductOf,
} from '../../verification/models/viaducts.js';

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
];
