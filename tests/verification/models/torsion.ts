import type { Support, Viaduct } from '../../../solver/viaduct/model.js';
import { concreteDeck, uniformSpans, viaductOf } from './viaducts.js';

/** Section of the examples of torsion, invented: the box of `concreteDeck`, wide enough for two tracks. */
export const twistingDeck = { ...concreteDeck, rigidity: 6e10, rotaryInertia: 1.2e5 } as const;

/** m between the two bearings of a support. */
export const bearingSpread = 4;

/** A deck that twists, on pairs of bearings; changes by index of the support, null for one bearing under the axis. */
export function twistingViaduct(
  lengths: readonly number[],
  changes: Partial<Viaduct> = {},
  supports: Readonly<Record<number, Partial<Support> | null>> = {},
): Viaduct {
  const { rigidity, rotaryInertia } = twistingDeck;
  const supportChanges = Object.fromEntries(
    Array.from({ length: lengths.length + 1 }, (_, index) => [
      index,
      supports[index] === null ? {} : { bearingSpread, ...supports[index] },
    ]),
  );
  return viaductOf(uniformSpans(lengths, { torsion: { rigidity, rotaryInertia } }), {
    ...changes,
    supportChanges,
  });
}
