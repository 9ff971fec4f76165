import { type Finding, type SafetyCheck, supportName, worse } from './check.js';
import { entriesFor, objectiveOf } from './objective-entries.js';

/** Compression of each support that still carries, dead load plus train, against its resistance. */
export const supportReaction: SafetyCheck = {
  id: 'support-reaction',
  unit: 'kN',
  objectives: ({ rows, state, variant }) => [
    objectiveOf(
      entriesFor(rows, 'support-reaction', (row) => {
        const { id } = state.viaduct.supports[row.support]!;
        const resistance = state.damageCase.resistance?.supportReaction.get(id);
        if (resistance === undefined) return [];
        return [{ weight: 1 / resistance, offset: variant.deadLoad.reactions[row.support]! / resistance }];
      }),
    ),
  ],
  judge(input, missing) {
    const share = input.limit?.steps[0]?.value ?? 1;
    let worst: Finding | null = null;
    input.rows.forEach((row, index) => {
      if (row.quantity !== 'support-reaction') return;
      const support = input.state.viaduct.supports[row.support]!;
      const resistance = input.state.damageCase.resistance?.supportReaction.get(support.id);
      if (resistance === undefined) {
        missing(`the resistance of support ${support.id} to reaction`);
        return;
      }
      const value = input.variant.deadLoad.reactions[row.support]! + Math.max(0, input.peaks.largest[index]!);
      worst = worse(worst, {
        value: value / 1e3,
        limit: (share * resistance) / 1e3,
        utilisation: Math.max(0, value) / (share * resistance),
        at: row.x,
        where: supportName(input, row.support),
      });
    });
    return worst;
  },
};
