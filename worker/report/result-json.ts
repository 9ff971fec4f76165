import { type Result, result as resultSchema } from '../../scenarios/result.js';
import { requireFiniteNumbers } from './finite-numbers.js';

/** Thrown when a value that should be a result does not have a result's form. */
export class MalformedResultError extends Error {
  override readonly name = 'MalformedResultError';
}

/**
 * The text of `result.json`. Equal results give equal bytes: keys stand in the order of the result's schema, keys that the
 * schema leaves open (supports, swept quantities, libraries) in code unit order with `speed_kmh` first; two spaces of
 * indent, a list of numbers on one line, a line feed at the end (JSON has no negative zero: it becomes 0). It holds no time and nothing about the machine.
 *
 * @throws NonFiniteNumberError where a number is NaN or infinite.
 * @throws MalformedResultError where the value is not a result.
 */
export function serialiseResult(result: Result): string {
  requireFiniteNumbers(result);
  const parsed = resultSchema.safeParse(result);
  if (!parsed.success) {
    const [first] = parsed.error.issues;
    throw new MalformedResultError(
      `Not a result: ${first?.message ?? 'unknown fault'} at /${first?.path.join('/') ?? ''}. Nothing was written.`,
    );
  }
  const text = JSON.stringify(parsed.data, (key, value) => (openKeys.has(key) ? sorted(value) : value), 2);
  // A raw line break never stands inside a JSON string, so this only ever touches lists of numbers.
  const compact = text.replace(
    /\[\n\s*(-?\d[-+\d.eE,\s]*?)\s*\]/g,
    (_, list: string) => `[${list.replace(/\s+/g, ' ')}]`,
  );
  return `${compact}\n`;
}

const openKeys: ReadonlySet<string> = new Set(['reactions_kN', 'sweep', 'sweep_limits', 'libraries']);

function sorted(value: unknown): unknown {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return value;
  const rank = (key: string): number => (key === 'speed_kmh' ? 0 : 1);
  return Object.fromEntries(Object.entries(value).sort(([a], [b]) => rank(a) - rank(b) || (a < b ? -1 : 1)));
}
