import type { Objective } from '../../solver/peaks/objective.js';
import type { Peaks } from '../../solver/peaks/peaks.js';
import { type Quantity, type ResponseRow, rowsOf } from '../../solver/rows/response-rows.js';
import { bothWays, entriesFor, type ObjectiveTerms, objectiveOf } from '../checks/objective-entries.js';

/** Keys of the result's sweep, unit in the name; largest over deck, time and both directions, train alone. */
export type SweptQuantities = Readonly<Record<string, number>>;

type Extreme = 'largest' | 'smallest' | 'absolute';

const series: readonly {
  readonly key: string;
  readonly quantity: Quantity;
  readonly extreme: Extreme;
  readonly factor: number;
}[] = [
  { key: 'deck_acceleration_m_per_s2', quantity: 'deck-acceleration', extreme: 'absolute', factor: 1 },
  { key: 'deck_deflection_mm', quantity: 'deck-deflection', extreme: 'absolute', factor: 1e3 },
  { key: 'deck_twist_mm', quantity: 'deck-twist', extreme: 'absolute', factor: 1e3 },
  { key: 'slab_acceleration_m_per_s2', quantity: 'slab-acceleration', extreme: 'absolute', factor: 1 },
  { key: 'end_rotation_rad', quantity: 'end-rotation', extreme: 'absolute', factor: 1 },
  { key: 'joint_step_mm', quantity: 'joint-step', extreme: 'absolute', factor: 1e3 },
  { key: 'bending_sagging_kNm', quantity: 'bending', extreme: 'largest', factor: 1e-3 },
  { key: 'bending_hogging_kNm', quantity: 'bending', extreme: 'smallest', factor: -1e-3 },
  { key: 'shear_kN', quantity: 'shear', extreme: 'absolute', factor: 1e-3 },
  { key: 'support_reaction_kN', quantity: 'support-reaction', extreme: 'largest', factor: 1e-3 },
  { key: 'support_reaction_smallest_kN', quantity: 'support-reaction', extreme: 'smallest', factor: 1e-3 },
  { key: 'fastening_force_kN', quantity: 'fastening-force', extreme: 'largest', factor: 1e-3 },
  { key: 'fastening_uplift_kN', quantity: 'fastening-force', extreme: 'smallest', factor: -1e-3 },
  { key: 'slab_bending_kNm', quantity: 'slab-bending', extreme: 'absolute', factor: 1e-3 },
  { key: 'rail_bending_kNm', quantity: 'rail-bending', extreme: 'absolute', factor: 1e-3 },
];

/** Quantities that the structure has no row for are left out. */
export function sweptQuantities(rows: readonly ResponseRow[], peaks: Peaks): SweptQuantities {
  const values: Record<string, number> = {};
  for (const { key, quantity, extreme, factor } of series) {
    const indices = rowsOf(rows, quantity);
    if (indices.length === 0) continue;
    let most = 0;
    for (const index of indices) {
      const high = peaks.largest[index]!;
      const low = peaks.smallest[index]!;
      if (extreme !== 'smallest' && high > Math.abs(most)) most = high;
      if (extreme === 'absolute' && -low > most) most = -low;
      if (extreme === 'smallest' && low < most) most = low;
    }
    values[key] = most === 0 ? 0 : most * factor;
  }
  return values;
}

/** The peaks that the swept quantities are made of. */
export function sweptObjectives(rows: readonly ResponseRow[]): (Objective | null)[] {
  const objectives: (Objective | null)[] = [];
  for (const { quantity, extreme } of series)
    objectives.push(objectiveOf(entriesFor(rows, quantity, termsOf[extreme])));
  return objectives;
}

const termsOf: Readonly<Record<Extreme, ObjectiveTerms>> = {
  largest: [{ weight: 1, offset: 0 }],
  smallest: [{ weight: -1, offset: 0 }],
  absolute: bothWays(1),
};
