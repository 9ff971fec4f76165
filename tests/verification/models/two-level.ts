import { condenseFrame } from '../../../solver/mesh/plane-frame.js';
import { applyDamage } from '../../../solver/viaduct/damage.js';
import type { Viaduct } from '../../../solver/viaduct/model.js';
import type { TwoLevelBridge } from '../independent/two-level-frame.js';
import { uniformSpans, viaductOf } from './viaducts.js';

/** Three spans of 20 m on two columns that stand on one beam of 60 m. */
export const twoLevels: TwoLevelBridge = {
  length: 60,
  element: 2.5,
  deck: { flexuralRigidity: 1.1e11, massPerLength: 15_000 },
  below: { flexuralRigidity: 3e12, massPerLength: 2000 },
  columns: [
    { x: 20, stiffness: 2e9 },
    { x: 40, stiffness: 2e9 },
  ],
};

/** The same as a deck whose columns S1 and S2 stand on a condensed frame; `lost` is a column that is gone. */
export function twoLevelViaduct(
  { columns, deck, below }: TwoLevelBridge,
  lost: string | null = null,
): Viaduct {
  const frame = condenseFrame({
    nodes: [0, 20, 40, 60].map((x) => ({ x, z: 12, held: x === 0 || x === 60 ? 'pinned' : 'free' })),
    bars: [0, 1, 2].map((from) => ({ from, to: from + 1, axialRigidity: 1e12, ...below })),
    points: [1, 2],
  });
  const viaduct = viaductOf(uniformSpans([20, 20, 20], deck), {
    supportChanges: { 1: { stiffness: columns[0]!.stiffness }, 2: { stiffness: columns[1]!.stiffness } },
    substructure: { supports: ['S1', 'S2'], ...frame },
  });
  return lost === null
    ? viaduct
    : applyDamage(viaduct, [{ kind: 'support-stiffness-loss', support: lost, fraction: 1 }]);
}
