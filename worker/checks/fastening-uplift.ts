import { isAbove } from '../../solver/peaks/ties.js';
import { type ResponseRow, rowsOf } from '../../solver/rows/response-rows.js';
import type { BoundVariant } from '../assess/bound-variant.js';
import { deckEndName, deckEndPlaces, seatRowsNear } from '../assess/deck-end-outcome.js';
import {
  against,
  failing,
  limitAt,
  nearer,
  nearnessTo,
  type SafetyCheck,
  sharesOf,
  trackPlace,
} from './check.js';
import { entriesFor, type ObjectiveTerms, objectiveOf, relievedTerms } from './objective-entries.js';

/**
 * Largest pull on a pair of seats, what the damage left under dead load plus the train's own; the rail's own weight, which helps a little, is left out. Where the fastening is followed beyond
 * its clamping, the uplift found there counts as well, as the pull that a linear fastening would take for it: never less than the linear
 * pull alone, and beyond the clamping force, which is then the limit, as soon as a pad is free.
 */
export const fasteningUplift: SafetyCheck = {
  id: 'fastening-uplift',
  unit: 'kN',
  objectives: (input) => {
    const { rows, state, variant } = input;
    const objective = (terms: (dead: number) => ObjectiveTerms) =>
      objectiveOf(entriesFor(rows, 'fastening-force', (row) => terms(pullLeft(variant, row))));
    const all = [
      objective((dead) => [{ weight: -1, offset: dead }]),
      ...sharesOf('fastening-uplift', input).map((limit) =>
        objective((dead) => relievedTerms(-1, dead, 1e3 * limit)),
      ),
    ];
    const { track, tracks } = state.viaduct;
    if (!track?.fastening.clamping) return all;
    const about = (tracks ?? [null]).map((_, index) => index);
    // The pull at each deck end tells how much the train sways there.
    const ends = deckEndPlaces(state, variant).flatMap((x) =>
      about.map((of) =>
        objectiveOf(seatRowsNear(rows, x, of).map((row) => ({ row, weight: -1, offset: 0 }))),
      ),
    );
    return [...all, ...ends];
  },
  judge(input) {
    if (!input.limit) return null;
    const allowed = limitAt(input.limit, input.speedKmh);
    let pull = 0;
    let relieved = 0;
    let at: number | null = null;
    let where: string | null = null;
    for (const index of rowsOf(input.rows, 'fastening-force')) {
      const row = input.rows[index]!;
      const dead = pullLeft(input.variant, row);
      const tension = (dead - input.peaks.smallest[index]!) / 1e3;
      if (dead < 0 && allowed !== null) {
        const demand = { dead, train: -input.peaks.smallest[index]! };
        relieved = Math.max(relieved, nearnessTo(1e3 * allowed, demand));
      }
      if (at !== null && tension <= pull) continue;
      if (at === null || isAbove(tension, pull)) at = row.x;
      pull = tension;
    }
    for (const { end, pull: nonlinear, released } of input.deckEnds) {
      if (nonlinear.value / 1e3 <= pull) continue;
      pull = nonlinear.value / 1e3;
      at = nonlinear.x;
      const loose = released > 0 ? ', off the pad' : '';
      where = `rail seats at ${deckEndName(input.state, end)}${loose}`;
    }
    if (at === null) return null;
    where ??= trackPlace('rail seats', at, input);
    const finding = against(input.limit, input.speedKmh, Math.max(0, pull), at, where);
    const unheld = input.deckEnds.find((response) => response.unheld);
    if (!unheld) return nearer(finding, relieved);
    const there = `rail seats at ${deckEndName(input.state, unheld.end)}, where clips that give way do not hold the rail`;
    return { ...finding, utilisation: failing, at: unheld.end.x, where: there };
  },
};

/** N: with which the deck, where it is now, pulls on a pair of seats; below 0 where it presses. */
function pullLeft(variant: BoundVariant, { x, track }: ResponseRow): number {
  return -(variant.seatForcesLeft(track ?? 0).get(x) ?? 0);
}
