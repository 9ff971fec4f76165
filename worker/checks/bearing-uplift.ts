import type { ResponseRow } from '../../solver/rows/response-rows.js';
import type { BearingLine } from '../../solver/statics/dead-load-state.js';
import { upliftResistance } from '../../solver/viaduct/bearings.js';
import {
  allowedShare,
  type Finding,
  failing,
  nearnessTo,
  type ObjectiveInput,
  type SafetyCheck,
  sharesOf,
  sideName,
  supportName,
  worse,
} from './check.js';
import {
  entriesFor,
  type ObjectiveEntry,
  type ObjectiveTerms,
  objectiveOf,
  relievedTerms,
} from './objective-entries.js';

/**
 * Smallest reaction under dead load plus train; utilisation = pull / the share of the resistance that the limit leaves, and any pull without
 * resistance fails.
 */
export const bearingUplift: SafetyCheck = {
  id: 'bearing-uplift',
  unit: 'kN',
  // Lines that can take a pull compare by their share of it, those that cannot by how close they come to lifting.
  objectives: (input) => [
    objectiveOf(upliftEntries(input, true)),
    objectiveOf(upliftEntries(input, false)),
    ...sharesOf('bearing-uplift', input).map((share) => objectiveOf(nearnessEntries(input, share))),
  ],
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
      const demand = { dead: -line.reaction, train: -Math.min(0, input.peaks.smallest[index]!) };
      const smallest = -(demand.dead + demand.train);
      // Round-off on a bearing that just rests is no pull.
      const pull = -smallest > roundOff * total ? -smallest : 0;
      const resistance = share * upliftResistance(state.viaduct.supports[row.support]!, line);
      const withstood = pull === 0 ? 0 : resistance > 0 ? Math.min(failing, pull / resistance) : failing;
      const rests = line.reaction <= roundOff * total;
      worst = worse(worst, {
        value: pull / 1e3,
        limit: resistance / 1e3,
        utilisation: ended ? failing : withstood,
        nearness: ended ? failing : rests ? withstood : Math.min(failing, nearnessTo(resistance, demand)),
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

/** Of the whole dead load: less of it on a bearing is none. */
const roundOff = 1e-9;

/** How near each line that dead load presses down comes to more pull than is allowed. */
function nearnessEntries(input: ObjectiveInput, share: number): ObjectiveEntry[] {
  const { totalReaction } = input.variant.deadLoad;
  return entriesOfLines(input, ({ reaction }, resistance) =>
    reaction > roundOff * totalReaction ? relievedTerms(-1, -reaction, share * resistance) : [],
  );
}

function upliftEntries(input: ObjectiveInput, resisting: boolean): ObjectiveEntry[] {
  return entriesOfLines(input, ({ reaction }, resistance) => {
    if (resistance > 0 !== resisting) return [];
    const scale = resisting ? resistance : 1;
    return [{ weight: -1 / scale, offset: -reaction / scale }];
  });
}

function entriesOfLines(
  input: ObjectiveInput,
  terms: (line: BearingLine, resistance: number) => ObjectiveTerms,
): ObjectiveEntry[] {
  const dead = deadLoadLines(input);
  const quantities = ['bearing-reaction', 'support-reaction'] as const;
  return quantities.flatMap((quantity) =>
    entriesFor(input.rows, quantity, (row) => {
      const line = dead.get(lineOf(row));
      return line ? terms(line, upliftResistance(input.state.viaduct.supports[row.support]!, line)) : [];
    }),
  );
}
