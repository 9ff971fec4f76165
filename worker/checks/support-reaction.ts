import type { ResponseRow } from '../../solver/rows/response-rows.js';
import {
  againstResistance,
  type Finding,
  type ObjectiveInput,
  type SafetyCheck,
  sharesOf,
  sideName,
  supportName,
  worse,
} from './check.js';
import { entriesFor, type ObjectiveTerms, objectiveOf, relievedTerms } from './objective-entries.js';

/**
 * Compression of each support that still carries, dead load plus train, against its resistance; of two bearings side by side each can carry
 * half of it.
 */
export const supportReaction: SafetyCheck = {
  id: 'support-reaction',
  unit: 'kN',
  objectives: (input) => {
    const objective = (terms: (dead: number, resistance: number) => ObjectiveTerms) =>
      objectiveOf(
        (['support-reaction', 'bearing-reaction'] as const).flatMap((quantity) =>
          entriesFor(input.rows, quantity, (row) => {
            const line = carriedBy(input, row);
            return line?.resistance === undefined ? [] : terms(line.dead, line.resistance);
          }),
        ),
      );
    return [
      objective((dead, resistance) => [{ weight: 1 / resistance, offset: dead / resistance }]),
      ...sharesOf('support-reaction', input).map((share) =>
        objective((dead, resistance) => relievedTerms(1, dead, share * resistance)),
      ),
    ];
  },
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
      const demand = { dead: line.dead, train: Math.max(0, input.peaks.largest[index]!) };
      const where = supportName(input, row.support) + sideName(row);
      worst = worse(worst, againstResistance(input, demand, resistance, row.x, where));
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
