import type { ResponseRow } from '../../solver/response-rows.js';
import {
  againstResistance,
  type Finding,
  type ObjectiveInput,
  type SafetyCheck,
  sideName,
  supportName,
  worse,
} from './check.js';
import { entriesFor, objectiveOf } from './objective-entries.js';

/**
 * Compression of each support that still carries, dead load plus train, against its resistance; of two bearings side by side each can carry
 * half of it.
 */
export const supportReaction: SafetyCheck = {
  id: 'support-reaction',
  unit: 'kN',
  objectives: (input) => [
    objectiveOf(
      (['support-reaction', 'bearing-reaction'] as const).flatMap((quantity) =>
        entriesFor(input.rows, quantity, (row) => {
          const line = carriedBy(input, row);
          if (line?.resistance === undefined) return [];
          return [{ weight: 1 / line.resistance, offset: line.dead / line.resistance }];
        }),
      ),
    ),
  ],
  judge(input, missing) {
    let worst: Finding | null = null;
    for (let index = 0; index < input.rows.length; index++) {
      const row = input.rows[index]!;
      const line = carriedBy(input, row);
      if (!line) continue;
      const { resistance } = line;
      if (resistance === undefined) {
        missing(`the load that ${supportName(input, row.support)} can carry`);
        continue;
      }
      const value = line.dead + Math.max(0, input.peaks.largest[index]!);
      const where = supportName(input, row.support) + sideName(row);
      worst = worse(worst, againstResistance(input, value, resistance, row.x, where));
    }
    return worst;
  },
};

/** What a row's support, or one of two bearings of it, carries under dead load and can carry; null for rows that are no such line. */
function carriedBy(
  { state, variant }: ObjectiveInput,
  { quantity, support, side, bearing }: ResponseRow,
): { readonly dead: number; readonly resistance: number | undefined } | null {
  const isOneOfTwo = quantity === 'bearing-reaction' && bearing !== undefined;
  if (quantity !== 'support-reaction' && !isOneOfTwo) return null;
  const whole = state.damageCase.resistance?.supportReaction.get(state.viaduct.supports[support]!.id);
  if (!isOneOfTwo) return { dead: variant.deadLoad.reactions[support]!, resistance: whole };
  const line = variant.deadLoad.bearings.find(
    (one) => one.support === support && one.end === side && one.side === bearing,
  );
  return line ? { dead: line.reaction, resistance: whole === undefined ? undefined : whole / 2 } : null;
}
