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
export function requireFiniteNumbers(value: unknown, pointer = ''): void {
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new NonFiniteNumberError(pointer, value);
    return;
  }
  if (typeof value !== 'object' || value === null) return;
  for (const [key, content] of Object.entries(value)) {
    const step = key.replaceAll('~', '~0').replaceAll('/', '~1');
    requireFiniteNumbers(content, `${pointer}/${step}`);
  }
}
