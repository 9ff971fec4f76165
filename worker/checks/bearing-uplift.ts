import { upliftResistance } from '../../solver/bearings.js';
import type { BearingLine } from '../../solver/dead-load-state.js';
import type { ResponseRow } from '../../solver/response-rows.js';
import {
  allowedShare,
  type Finding,
  failing,
  type ObjectiveInput,
  type SafetyCheck,
  sideName,
  supportName,
  worse,
} from './check.js';
import { entriesFor, type ObjectiveEntry, objectiveOf } from './objective-entries.js';

/**
 * Smallest reaction under dead load plus train; utilisation = pull / the share of the resistance that the limit leaves, and any pull without
 * resistance fails.
 */
export const bearingUplift: SafetyCheck = {
  id: 'bearing-uplift',
  unit: 'kN',
  // Lines that can take a pull compare by their share of it, those that cannot by how close they come to lifting.
  objectives: (input) => [objectiveOf(upliftEntries(input, true)), objectiveOf(upliftEntries(input, false))],
  judge(input) {
    const { state, variant } = input;
    const total = variant.deadLoad.totalReaction;
    const dead = deadLoadLines(input);
    const { share, ended } = allowedShare(input);
    let worst: Finding | null = null;
    for (let index = 0; index < input.rows.length; index++) {
      const row = input.rows[index]!;
      if (row.quantity !== 'bearing-reaction' && row.quantity !== 'support-reaction') continue;
      const line = dead.get(lineOf(row));
      if (!line) continue;
      const smallest = line.reaction + Math.min(0, input.peaks.smallest[index]!);
      // Round-off on a bearing that just rests is no pull.
      const pull = -smallest > 1e-9 * total ? -smallest : 0;
      const resistance = share * upliftResistance(state.viaduct.supports[row.support]!, line);
      const withstood = pull === 0 ? 0 : resistance > 0 ? Math.min(failing, pull / resistance) : failing;
      worst = worse(worst, {
        value: pull / 1e3,
        limit: resistance / 1e3,
        utilisation: ended ? failing : withstood,
        at: row.x,
        where: supportName(input, row.support) + sideName(row),
      });
    }
    return worst;
  },
};

function deadLoadLines({ variant }: ObjectiveInput): ReadonlyMap<string, BearingLine> {
  return new Map(variant.deadLoad.bearings.map((line) => [`${line.support}/${line.end}/${line.side}`, line]));
}

const lineOf = (row: ResponseRow): string => `${row.support}/${row.side}/${row.bearing ?? 'only'}`;

function upliftEntries(input: ObjectiveInput, resisting: boolean): ObjectiveEntry[] {
  const dead = deadLoadLines(input);
  const quantities = ['bearing-reaction', 'support-reaction'] as const;
  return quantities.flatMap((quantity) =>
    entriesFor(input.rows, quantity, (row) => {
      const line = dead.get(lineOf(row));
      if (!line) return [];
      const resistance = upliftResistance(input.state.viaduct.supports[row.support]!, line);
      if (resistance > 0 !== resisting) return [];
      const scale = resisting ? resistance : 1;
      return [{ weight: -1 / scale, offset: -line.reaction / scale }];
    }),
  );
}
