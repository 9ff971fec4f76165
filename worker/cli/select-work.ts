import type { Result } from '../../scenarios/result.js';
import type { Scenario } from '../../scenarios/scenario.js';
import { trainName } from '../../scenarios/translation/trains.js';
import { selectionWords } from '../report/selection-words.js';
import { UsageError } from './command-errors.js';

/** What `--case` and `--train` ask for; an empty list asks for all. */
export interface Selection {
  readonly cases: readonly string[];
  readonly trains: readonly string[];
}

/**
 * The scenario with only the selected damage cases and trains. The intact case always stays: every other is compared with it.
 * A selection is another scenario, with another hash, so that its result is never taken for that of the whole.
 *
 * @throws UsageError when the scenario has no such case or train; names those that it has.
 */
export function selectWork(scenario: Scenario, { cases, trains }: Selection, file: string): Scenario {
  const caseIds = ['intact', ...scenario.damage_cases.map(({ id }) => id)];
  const trainIds = scenario.trains.map(trainName);
  refuseUnknown('damage case', cases, caseIds, file);
  refuseUnknown('train', trains, trainIds, file);
  return {
    ...scenario,
    damage_cases:
      cases.length === 0
        ? scenario.damage_cases
        : scenario.damage_cases.filter(({ id }) => cases.includes(id)),
    trains:
      trains.length === 0
        ? scenario.trains
        : scenario.trains.filter((train) => trains.includes(trainName(train))),
  };
}

/** Nothing is left out. */
export function isWhole({ cases, trains }: Selection): boolean {
  return cases.length === 0 && trains.length === 0;
}

/** The result marked as that of a selection, in its own key and first among its cautions; as it is when nothing was selected. */
export function markSelection(result: Result, selection: Selection): Result {
  if (isWhole(selection)) return result;
  const marked = {
    ...result,
    selection: { damage_cases: [...selection.cases], trains: [...selection.trains] },
  };
  const words = selectionWords(marked);
  return { ...marked, cautions: [...(words === null ? [] : [words]), ...result.cautions] };
}

function refuseUnknown(kind: string, asked: readonly string[], known: readonly string[], file: string): void {
  const unknown = asked.filter((id) => !known.includes(id));
  if (unknown.length > 0)
    throw new UsageError(`${file} has no ${kind} ${unknown.join(', ')}; it has: ${known.join(', ')}`);
}
