import { supportPositions } from '../../solver/dead-load.js';
import { type Finding, type ObjectiveInput, type SafetyCheck, spanName, worse } from './check.js';
import { entriesFor, objectiveOf } from './objective-entries.js';

/** Sagging and hogging, dead load plus train with its own dynamics, against the resistance of the span (over a support: of both). */
export const bending: SafetyCheck = {
  id: 'bending',
  unit: 'kNm',
  objectives: (input) => [
    objectiveOf(
      entriesFor(input.rows, 'bending', (row) => {
        const dead = input.variant.deadLoad.bendingAt(row.x);
        return spansAt(input, row.x, row.span).flatMap((span) => {
          const { sagging = null, hogging = null } = input.state.damageCase.resistance?.spans[span] ?? {};
          return [
            ...(sagging === null ? [] : [{ weight: 1 / sagging, offset: dead / sagging }]),
            ...(hogging === null ? [] : [{ weight: -1 / hogging, offset: -dead / hogging }]),
          ];
        });
      }),
    ),
  ],
  judge(input, missing) {
    const share = input.limit?.steps[0]?.value ?? 1;
    const dead = input.rows.map((row) =>
      row.quantity === 'bending' ? input.variant.deadLoad.bendingAt(row.x) : 0,
    );
    const scale = dead.reduce((most, moment) => Math.max(most, Math.abs(moment)), 0);
    let worst: Finding | null = null;
    input.rows.forEach((row, index) => {
      if (row.quantity !== 'bending') return;
      const sagging = dead[index]! + Math.max(0, input.peaks.largest[index]!);
      const hogging = -(dead[index]! + Math.min(0, input.peaks.smallest[index]!));
      for (const span of spansAt(input, row.x, row.span)) {
        for (const [demand, which] of [
          [sagging, 'sagging'],
          [hogging, 'hogging'],
        ] as const) {
          if (demand <= 1e-3 * scale) continue;
          const resistance = input.state.damageCase.resistance?.spans[span]?.[which] ?? null;
          if (resistance === null) {
            missing(`the ${which} resistance of ${spanName(span)}`);
            continue;
          }
          worst = worse(worst, {
            value: demand / 1e3,
            limit: (share * resistance) / 1e3,
            utilisation: demand / (share * resistance),
            at: row.x,
            where: `${spanName(span)}, ${which}`,
          });
        }
      }
    });
    return worst;
  },
};

/** The span of a point, and at an inner support also the one that follows: both end there. */
function spansAt(input: ObjectiveInput, x: number, span: number): number[] {
  const supports = supportPositions(input.state.viaduct);
  const atEnd = Math.abs(x - supports[span + 1]!) < 1e-6;
  return atEnd && span + 2 < supports.length ? [span, span + 1] : [span];
}
