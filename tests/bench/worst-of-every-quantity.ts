import { ObjectiveIndex } from '../../solver/peaks/objective.js';
import type { Quantity, ResponseRow } from '../../solver/rows/response-rows.js';

/** The largest size of every quantity over its rows, whichever way it points. */
export function worstOfEveryQuantity(rows: readonly ResponseRow[]): ObjectiveIndex {
  const members = new Map<Quantity, number[]>();
  rows.forEach(({ quantity }, row) => {
    members.set(quantity, [...(members.get(quantity) ?? []), row]);
  });
  const quantities = [...members.values()].map((own) => ({
    rows: Int32Array.from([...own, ...own]),
    weights: Float64Array.from({ length: 2 * own.length }, (_, entry) => (entry < own.length ? 1 : -1)),
    offsets: new Float64Array(2 * own.length),
  }));
  return new ObjectiveIndex(quantities, rows.length);
}
