import type { Limit } from '../../scenarios/assessment-model.js';
import { spanLength } from '../../solver/mesh/grid.js';
import { rowsOf } from '../../solver/rows/response-rows.js';
import type { CaseState } from '../assess/case-state.js';
import {
  against,
  type Finding,
  failing,
  limitOrLast,
  type SafetyCheck,
  sideName,
  spanName,
  worse,
} from './check.js';
import { addEntries, bothWays, type ObjectiveEntry, objectiveOf } from './objective-entries.js';

/** Deflection under the train alone against L/n of the span it occurs in (spans as built, also after a lost pier: slow side). */
export const deckDeflection: SafetyCheck = {
  id: 'deck-deflection',
  unit: 'mm',
  objectives({ rows, state }) {
    const entries: ObjectiveEntry[] = [];
    for (const row of rowsOf(rows, 'deck-deflection'))
      addEntries(entries, row, bothWays(1 / lengthOf(state, rows[row]!.span)));
    return [objectiveOf(entries)];
  },
  judge(input) {
    const { limit, speedKmh } = input;
    if (!limit) return null;
    let worst: Finding | null = null;
    for (const index of rowsOf(input.rows, 'deck-deflection')) {
      const row = input.rows[index]!;
      const value = 1e3 * Math.max(input.peaks.largest[index]!, -input.peaks.smallest[index]!);
      const where = spanName(row.span) + sideName(row);
      const finding = limit.perSpan
        ? againstSpan(limit, speedKmh, value, lengthOf(input.state, row.span), row.x, where)
        : against(limit, speedKmh, value, row.x, where);
      worst = worse(worst, finding);
    }
    return worst;
  },
};

/** Judges mm against span / n; past the last step the limit is that of the last, in mm as well, and nothing passes. */
function againstSpan(
  limit: Limit,
  speedKmh: number,
  value: number,
  length: number,
  at: number,
  where: string,
): Finding {
  const { allowed: divisor, ended } = limitOrLast(limit, speedKmh);
  const utilisation = ended ? failing : (value * divisor) / (1e3 * length);
  return { value, limit: (1e3 * length) / divisor, utilisation, at, where };
}

const lengthOf = (state: CaseState, span: number): number => spanLength(state.viaduct.spans[span]!);
