import { rowsOf } from '../../solver/rows/response-rows.js';
import { supportPositions } from '../../solver/statics/dead-load.js';
import { against, type Finding, type SafetyCheck, supportName, worse } from './check.js';
import { entriesFor, objectiveOf } from './objective-entries.js';

/** Vertical step between two deck ends, or deck and abutment: what the damage left under dead load plus the train's own. */
export const jointStep: SafetyCheck = {
  id: 'joint-step',
  unit: 'mm',
  objectives: ({ rows, variant }) => [
    objectiveOf(
      entriesFor(rows, 'joint-step', (row) => {
        const offset = Math.abs(variant.change?.steps[row.support] ?? 0);
        return [
          { weight: 1, offset },
          { weight: -1, offset },
        ];
      }),
    ),
  ],
  judge(input) {
    const { limit, state, variant } = input;
    if (!limit) return null;
    const train = new Map<number, number>();
    for (const index of rowsOf(input.rows, 'joint-step')) {
      const row = input.rows[index]!;
      const step = Math.max(input.peaks.largest[index]!, -input.peaks.smallest[index]!);
      train.set(row.support, Math.max(train.get(row.support) ?? 0, step));
    }
    let worst: Finding | null = null;
    supportPositions(state.viaduct).forEach((x, support) => {
      const last = state.viaduct.supports.length - 1;
      if (support !== 0 && support !== last && !state.viaduct.supports[support]!.joint) return;
      const left = Math.abs(variant.change?.steps[support] ?? 0);
      const value = 1e3 * (left + (train.get(support) ?? 0));
      worst = worse(worst, against(limit, input.speedKmh, value, x, supportName(input, support)));
    });
    return worst;
  },
};
