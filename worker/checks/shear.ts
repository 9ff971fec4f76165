import { rowsOf } from '../../solver/response-rows.js';
import { againstResistance, type Finding, type SafetyCheck, spanName, worse } from './check.js';
import { entriesFor, objectiveOf } from './objective-entries.js';

/** Shear at both sides of every support, dead load plus train, against the resistance of the span. */
export const shear: SafetyCheck = {
  id: 'shear',
  unit: 'kN',
  objectives: ({ rows, state, variant }) => [
    objectiveOf(
      entriesFor(rows, 'shear', (row) => {
        const resistance = state.damageCase.resistance?.spans[row.span]?.shear ?? null;
        if (resistance === null) return [];
        const dead = variant.deadLoad.shearAt(row.x, row.side === 'right' ? 'right' : 'left') / resistance;
        return [
          { weight: 1 / resistance, offset: dead },
          { weight: -1 / resistance, offset: -dead },
        ];
      }),
    ),
  ],
  judge(input, missing) {
    let worst: Finding | null = null;
    for (const index of rowsOf(input.rows, 'shear')) {
      const row = input.rows[index]!;
      const dead = input.variant.deadLoad.shearAt(row.x, row.side === 'right' ? 'right' : 'left');
      const demand = Math.max(
        Math.abs(dead + Math.max(0, input.peaks.largest[index]!)),
        Math.abs(dead + Math.min(0, input.peaks.smallest[index]!)),
      );
      const resistance = input.state.damageCase.resistance?.spans[row.span]?.shear ?? null;
      if (resistance === null) {
        missing(`the shear resistance of ${spanName(row.span)}`);
        continue;
      }
      worst = worse(worst, againstResistance(input, demand, resistance, row.x, spanName(row.span)));
    }
    return worst;
  },
};
