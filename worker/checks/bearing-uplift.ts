import { type BearingLine, upliftResistance } from '../../solver/dead-load.js';
import { type Finding, failing, type SafetyCheck, supportName, worse } from './check.js';

/** Smallest reaction under dead load plus train; utilisation = pull / resistance, and any pull without resistance fails. */
export const bearingUplift: SafetyCheck = {
  id: 'bearing-uplift',
  unit: 'kN',
  judge(input) {
    const { state, variant } = input;
    const total = variant.deadLoad.reactions.reduce((sum, reaction) => sum + Math.abs(reaction), 0);
    const dead = new Map<string, BearingLine>();
    for (const line of variant.deadLoad.bearings) dead.set(`${line.support}/${line.end}`, line);
    let worst: Finding | null = null;
    input.rows.forEach((row, index) => {
      if (row.quantity !== 'bearing-reaction' && row.quantity !== 'support-reaction') return;
      const line = dead.get(`${row.support}/${row.side}`);
      if (!line) return;
      const smallest = line.reaction + Math.min(0, input.peaks.smallest[index]!);
      // Round-off on a bearing that just rests is no pull.
      const pull = -smallest > 1e-9 * total ? -smallest : 0;
      const resistance = upliftResistance(state.viaduct.supports[row.support]!, line.end);
      const utilisation = pull === 0 ? 0 : resistance > 0 ? Math.min(failing, pull / resistance) : failing;
      worst = worse(worst, {
        value: pull / 1e3,
        limit: resistance / 1e3,
        utilisation,
        at: row.x,
        where: supportName(input, row.support),
      });
    });
    return worst;
  },
};
