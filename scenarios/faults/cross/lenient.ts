import { oncePerList } from './once-per-list.js';

/** Lenient access to a document that may be wrong anywhere: rules across keys must find their faults beside others. */

/** The value of a key of an object; undefined for anything else. */
export function member(value: unknown, key: string): unknown {
  if (typeof value !== 'object' || value === null || Array.isArray(value) || !Object.hasOwn(value, key)) {
    return undefined;
  }
  return Reflect.get(value, key);
}

/** The entries of a list key; empty where there is no list or it is longer than the bound, which is its own fault. */
export function entries(value: unknown, key: string, bound = 5000): readonly unknown[] {
  const list = member(value, key);
  return Array.isArray(list) && list.length <= bound ? list : [];
}

/** A finite number key; null for anything else. */
export function numberIn(value: unknown, key: string): number | null {
  const found = member(value, key);
  return typeof found === 'number' && Number.isFinite(found) ? found : null;
}

/** A text key; null for anything else. */
export function textIn(value: unknown, key: string): string | null {
  const found = member(value, key);
  return typeof found === 'string' ? found : null;
}

/** Lengths of the spans in order; null where any is missing or not positive. */
export function spanLengths(document: unknown): readonly number[] | null {
  return lengthsOf(entries(member(document, 'deck'), 'spans'));
}

const lengthsOf = oncePerList((spans): readonly number[] | null => {
  const lengths: number[] = [];
  for (const span of spans) {
    const length = numberIn(span, 'length_m');
    if (length === null || length <= 0) return null;
    lengths.push(length);
  }
  return lengths.length > 0 ? lengths : null;
});
