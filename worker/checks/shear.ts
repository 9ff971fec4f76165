import { type ResponseRow, rowsOf } from '../../solver/rows/response-rows.js';
import {
  againstResistance,
  type Finding,
  type ObjectiveInput,
  type SafetyCheck,
  sharesOf,
  spanName,
  worse,
} from './check.js';
import { entriesFor, type ObjectiveTerms, objectiveOf, relievedTerms } from './objective-entries.js';

/** Shear at both sides of every support, dead load plus train, against the resistance of the span. */
export const shear: SafetyCheck = {
  id: 'shear',
  unit: 'kN',
  objectives: (input) => {
    const objective = (terms: (dead: number, resistance: number) => ObjectiveTerms) =>
      objectiveOf(
        entriesFor(input.rows, 'shear', (row) => {
          const resistance = resistanceOf(input, row);
          return resistance === null ? [] : terms(deadShear(input, row), resistance);
        }),
      );
    return [
      objective((dead, resistance) => [
        { weight: 1 / resistance, offset: dead / resistance },
        { weight: -1 / resistance, offset: -(dead / resistance) },
      ]),
      ...sharesOf('shear', input).map((share) =>
        objective((dead, resistance) =>
          dead < 0
            ? relievedTerms(1, dead, share * resistance)
            : relievedTerms(-1, -dead, share * resistance),
        ),
      ),
    ];
  },
  judge(input, missing) {
    let worst: Finding | null = null;
    for (const index of rowsOf(input.rows, 'shear')) {
      const row = input.rows[index]!;
      const dead = deadShear(input, row);
      const resistance = resistanceOf(input, row);
      if (resistance === null) {
        missing(`the shear resistance of ${spanName(row.span)}`);
        continue;
      }
      const demands = [
        { dead, train: Math.max(0, input.peaks.largest[index]!) },
        { dead: -dead, train: -Math.min(0, input.peaks.smallest[index]!) },
      ];
      // What dead load relieves comes second, with its sign the other way round.
      if (dead < 0) demands.reverse();
      for (const demand of demands)
        worst = worse(worst, againstResistance(input, demand, resistance, row.x, spanName(row.span)));
    }
    return worst;
  },
};

function resistanceOf({ state }: ObjectiveInput, { span }: ResponseRow): number | null {
  return state.damageCase.resistance?.spans[span]?.shear ?? null;
}

function deadShear({ variant }: ObjectiveInput, { x, side }: ResponseRow): number {
  return variant.deadLoad.shearAt(x, side === 'right' ? 'right' : 'left');
}
