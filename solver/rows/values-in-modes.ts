import type { Modes } from '../modes/eigen.js';
import type { ResponseRow } from './response-rows.js';

/** The rows' values in each mode; rows x modes, row by row. */
export function valuesInModes(
  rows: readonly ResponseRow[],
  { shapes, angularFrequencies }: Modes,
): Float64Array {
  const count = shapes.length;
  const values = new Float64Array(rows.length * count);
  // Mode by mode, so that a shape stays in the cache.
  for (let j = 0; j < count; j++) {
    const shape = shapes[j]!;
    const omega = angularFrequencies[j]!;
    for (let r = 0; r < rows.length; r++) values[r * count + j] = valueInMode(rows[r]!, shape, omega);
  }
  return values;
}

/** The row's value in a mode: stiffness part less w^2 times the inertia part, so that nodal equilibrium holds exactly. */
function valueInMode(row: ResponseRow, shape: Float64Array, angularFrequency: number): number {
  const square = angularFrequency * angularFrequency;
  let sum = 0;
  for (let k = 0; k < row.freedoms.length; k++) {
    sum += (row.stiffness[k]! - square * row.inertia[k]!) * shape[row.freedoms[k]!]!;
  }
  return sum;
}
