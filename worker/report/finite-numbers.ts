import { pointerOf } from '../../scenarios/fault.js';

/** Thrown when a result holds NaN or an infinity, which no result file can carry. A fault of the engine, not of the input. */
export class NonFiniteNumberError extends Error {
  override readonly name = 'NonFiniteNumberError';
  constructor(
    /** JSON pointer to the number. */
    readonly pointer: string,
    readonly found: number,
  ) {
    super(
      `The result holds ${found} at ${pointer}; every number of a result must be finite. Do not use this result; report the scenario that led to it.`,
    );
  }
}

/**
 * Looks through a JSON-like value for numbers that are not finite.
 *
 * @throws NonFiniteNumberError at the first one, with its JSON pointer.
 */
export function requireFiniteNumbers(value: unknown): void {
  const path = pathToNonFinite(value);
  if (path === null) return;
  const { keys, found } = path;
  throw new NonFiniteNumberError(pointerOf(keys.reverse()), found);
}

/** Keys from the number outwards; written on the way back only, as nearly every result has no such number. */
function pathToNonFinite(value: unknown): { readonly keys: string[]; readonly found: number } | null {
  if (typeof value === 'number') return Number.isFinite(value) ? null : { keys: [], found: value };
  if (typeof value !== 'object' || value === null) return null;
  for (const [key, content] of Object.entries(value)) {
    const path = pathToNonFinite(content);
    if (path === null) continue;
    path.keys.push(key);
    return path;
  }
  return null;
}
