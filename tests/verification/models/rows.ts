import type { DynamicModel } from '../../../solver/dynamic-model/dynamic-model.js';
import type { Quantity, ResponseRow } from '../../../solver/rows/response-rows.js';

/**
 * Index of the one row of a quantity nearest to x.
 *
 * @throws Error when no row of that quantity stands within a millimetre of x
 */
export function rowAt(
  model: DynamicModel,
  quantity: Quantity,
  x: number,
  side?: ResponseRow['side'],
): number {
  const found = model.rows.findIndex(
    (row) => row.quantity === quantity && Math.abs(row.x - x) < 1e-3 && (!side || row.side === side),
  );
  if (found < 0) throw new Error(`no row of ${quantity} at ${x} m`);
  return found;
}

/** Indices of all rows of a quantity. */
export function rowsOf(model: DynamicModel, quantity: Quantity): number[] {
  return model.rows.flatMap((row, index) => (row.quantity === quantity ? [index] : []));
}
