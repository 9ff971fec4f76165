import type { CheckId } from '../../scenarios/result.js';
import { spanLength } from '../../solver/mesh/grid.js';
import type { Quantity } from '../../solver/rows/response-rows.js';
import { bearingUplift } from './bearing-uplift.js';
import { bending } from './bending.js';
import { type ObjectiveInput, sharesOf } from './check.js';
import { entriesFor, type ObjectiveEntry } from './objective-entries.js';
import { shear } from './shear.js';
import { supportReaction } from './support-reaction.js';
import { railBending, slabBending } from './track-bending.js';

/** Checks of a response in its own unit; the factor leads from the solver's unit to that of the limit. */
const measured: readonly { readonly check: CheckId; readonly quantity: Quantity; readonly factor: number }[] =
  [
    { check: 'deck-acceleration', quantity: 'deck-acceleration', factor: 1 },
    { check: 'deck-twist', quantity: 'deck-twist', factor: 1e3 },
    { check: 'end-rotation', quantity: 'end-rotation', factor: 1 },
    { check: 'joint-step', quantity: 'joint-step', factor: 1e3 },
    { check: 'fastening-uplift', quantity: 'fastening-force', factor: 1e-3 },
  ];

const ofStrength = [bending, shear, supportReaction, bearingUplift, slabBending, railBending];

/** By check, the share of its limit, the lowest of any speed, that a response uses up in either direction: entries of which the weight is per unit of the response. */
export function limitShares(input: ObjectiveInput): ReadonlyMap<CheckId, readonly ObjectiveEntry[]> {
  const shares = new Map<CheckId, readonly ObjectiveEntry[]>();
  for (const { check, quantity, factor } of measured) {
    if (!input.model.limits.has(check)) continue;
    const least = Math.min(...sharesOf(check, input));
    shares.set(check, entriesFor(input.rows, quantity, [{ weight: factor / least, offset: 0 }]));
  }
  shares.set('deck-deflection', deflectionShares(input));
  for (const { id, objectives } of ofStrength) {
    const least = Math.min(...sharesOf(id, input));
    const entries: ObjectiveEntry[] = [];
    for (const objective of objectives(input))
      objective?.rows.forEach((row, i) => {
        const [weight, offset] = [objective.weights[i]! / least, objective.offsets[i]!];
        // What dead load relieves has another entry, by what it leaves.
        if (offset >= 0) entries.push({ row, weight, offset });
      });
    shares.set(id, entries);
  }
  return shares;
}

function deflectionShares({ model, state, rows }: ObjectiveInput): ObjectiveEntry[] {
  const limit = model.limits.get('deck-deflection');
  if (!limit) return [];
  const values = limit.steps.map(({ value }) => value);
  return entriesFor(rows, 'deck-deflection', ({ span }) => {
    const perSpan = limit.perSpan ? spanLength(state.viaduct.spans[span]!) : null;
    return [
      { weight: perSpan === null ? 1e3 / Math.min(...values) : Math.max(...values) / perSpan, offset: 0 },
    ];
  });
}
