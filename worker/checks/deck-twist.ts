import { type ResponseRow, rowsOf } from '../../solver/rows/response-rows.js';
import { twistBase, twistGauge } from '../../solver/rows/twist-rows.js';
import {
  against,
  type Finding,
  limitAt,
  nearer,
  nearnessTo,
  type ObjectiveInput,
  type SafetyCheck,
  sharesOf,
  spanName,
  worse,
} from './check.js';
import { entriesFor, type ObjectiveTerms, objectiveOf, relievedTerms } from './objective-entries.js';

/**
 * Twist of the track over 3 m: what the damage left under dead load plus the train's own. Not applicable where torsion is left out: a
 * train on the axis of a deck on whole bearings twists nothing.
 */
export const deckTwist: SafetyCheck = {
  id: 'deck-twist',
  unit: 'mm',
  objectives: (input) => {
    const objective = (terms: (left: number) => ObjectiveTerms) =>
      objectiveOf(entriesFor(input.rows, 'deck-twist', (row) => terms(leftTwist(input, row))));
    return [
      objective((left) => [
        { weight: 1, offset: left },
        { weight: -1, offset: -left },
      ]),
      // What a train turns back uses nothing of the limit until the deck is level.
      ...sharesOf('deck-twist', input).map((millimetres) =>
        objective((left) => [
          ...relievedTerms(1, left, 1e-3 * millimetres),
          ...relievedTerms(-1, -left, 1e-3 * millimetres),
        ]),
      ),
    ];
  },
  judge(input) {
    const { limit } = input;
    if (!limit) return null;
    const allowed = limitAt(limit, input.speedKmh);
    let turnedBack = 0;
    let worst: Finding | null = null;
    for (const index of rowsOf(input.rows, 'deck-twist')) {
      const row = input.rows[index]!;
      const left = leftTwist(input, row);
      const high = left + Math.max(0, input.peaks.largest[index]!);
      const low = left + Math.min(0, input.peaks.smallest[index]!);
      const value = 1e3 * Math.max(high, -low);
      worst = worse(worst, against(limit, input.speedKmh, value, row.x, spanName(row.span)));
      if (allowed === null || left === 0) continue;
      const back = left < 0 ? input.peaks.largest[index]! : -input.peaks.smallest[index]!;
      const demand = { dead: -Math.abs(left), train: Math.max(0, back) };
      turnedBack = Math.max(turnedBack, nearnessTo(1e-3 * allowed, demand));
    }
    return nearer(worst, turnedBack);
  },
};

/** Twist that the damage left over the stretch of a row, m; the track beyond the ends of the deck lies as it was. */
function leftTwist({ state, variant: { change } }: ObjectiveInput, { start }: ResponseRow): number {
  if (!change || start === undefined) return 0;
  const end = start + twistBase;
  const length = state.viaduct.spans.reduce(
    (sum, { segments }) => segments.reduce((part, one) => part + one.length, sum),
    0,
  );
  const before = start < -1e-7 || start >= length ? 0 : change.twistAt(start, 'right');
  const after = end > length + 1e-7 || end <= 0 ? 0 : change.twistAt(end, 'left');
  return twistGauge * (after - before);
}
