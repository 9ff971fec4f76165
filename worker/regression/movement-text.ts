import type { Movement } from './compare-contracts.js';
import type { FlatValue } from './flatten-contract.js';

/** The columns of a list of movements, as text. */
export const movementColumns = ['where', 'quantity', 'before', 'now', 'relative', 'tolerance'] as const;

export function movementCells(movement: Movement): readonly string[] {
  return [
    movement.place,
    movement.quantity,
    ...valueTexts(movement),
    movement.relative === null ? '' : `${(100 * movement.relative).toPrecision(2)} %`,
    toleranceText(movement),
  ];
}

/** Of two long sentences only the neighbourhood of their first difference. */
function valueTexts({ before, now }: Movement): readonly [string, string] {
  const [a, b] = [valueText(before), valueText(now)];
  if (Math.max(a.length, b.length) <= 60) return [a, b];
  let same = 0;
  while (same < a.length && a[same] === b[same]) same++;
  const from = Math.max(0, same - 20);
  const excerpt = (text: string) =>
    `${from > 0 ? '... ' : ''}${text.slice(from, from + 50)}${text.length > from + 50 ? ' ...' : ''}`;
  return [excerpt(a), excerpt(b)];
}

function valueText(value: FlatValue | undefined): string {
  if (value === undefined) return 'not there';
  if (value === null) return 'none';
  return typeof value === 'number' ? String(Number(value.toPrecision(8))) : String(value);
}

function toleranceText({ family, tolerance: { relative, absolute } }: Movement): string {
  if (relative === 0 && absolute === 0) return 'none';
  const parts = [
    ...(relative > 0 ? [`${Number((100 * relative).toPrecision(3))} %`] : []),
    ...(absolute > 0 ? [String(absolute)] : []),
  ];
  return `${parts.join(' + ')} (${family})`;
}

/** How many movements of a scenario a list holds, changed decisions aside. */
export const mostListed = { terminal: 20, markdown: 30, junit: 200 } as const;

/**
 * Changes first, then drift; of changes decisions first, what only describes the scenario last, and otherwise the largest first. At
 * most `most`, but every changed decision, and how many are left out.
 */
export function worstFirst(
  movements: readonly Movement[],
  most: number,
): { readonly shown: readonly Movement[]; readonly left: number } {
  const size = ({ relative }: Movement) =>
    relative === null ? Number.POSITIVE_INFINITY : Math.abs(relative);
  const sorted = [...movements].sort(
    (a, b) =>
      turn(a) - turn(b) ||
      // Equal infinities compare as equal, not as NaN.
      (size(a) === size(b) ? 0 : size(b) - size(a)),
  );
  const shown = sorted.slice(0, Math.max(most, sorted.filter(isDecision).length));
  return { shown, left: sorted.length - shown.length };
}

/** Decisions are exact: where they move, they changed. */
const isDecision = ({ family }: Movement): boolean => family === 'recommended' || family === 'permitted';

function turn({ verdict, family }: Movement): number {
  if (verdict === 'drift') return 4;
  if (family === 'recommended') return 0;
  if (family === 'permitted') return 1;
  return family === 'described' ? 3 : 2;
}

/** "12 values changed, 3 drifted". */
export function countText(movements: readonly Movement[]): string {
  const changed = movements.filter(({ verdict }) => verdict === 'change').length;
  const drifted = movements.length - changed;
  const values = (count: number) => (count === 1 ? '1 value' : `${count} values`);
  if (changed === 0) return drifted === 0 ? 'nothing moved' : `${values(drifted)} drifted within tolerance`;
  return drifted === 0
    ? `${values(changed)} changed`
    : `${values(changed)} changed, ${drifted} more drifted within tolerance`;
}
