import type { Result } from '../../scenarios/result.js';

/** The sentence for a result that covers a selection of its scenario only; null when it covers everything. */
export function selectionWords({ selection }: Pick<Result, 'selection'>): string | null {
  if (selection === undefined) return null;
  return `Only a selection of the scenario was assessed (${chosenWords(selection)}): no recommendation here holds for a train or a case that was left out, nor for a class of which a train was left out.`;
}

/** "damage cases P1-lost; trains D4": what was selected. */
export function chosenWords({ damage_cases, trains }: NonNullable<Result['selection']>): string {
  const chosen = [
    ...(damage_cases.length === 0 ? [] : [`damage cases ${damage_cases.join(', ')}`]),
    ...(trains.length === 0 ? [] : [`trains ${trains.join(', ')}`]),
  ];
  return chosen.join('; ');
}
