import { numberText } from '../schema/quantity.js';

/** A value of a file in a few words, for the "found" part of a fault. */
export function describeValue(value: unknown): string {
  if (value === undefined) return 'nothing';
  if (value === null) return 'null';
  if (typeof value === 'number') {
    return Number.isFinite(value) ? numberText(value) : 'a number too large for a computer';
  }
  if (typeof value === 'string') return `the text ${shortened(JSON.stringify(value))}`;
  if (typeof value === 'boolean') return String(value);
  if (Array.isArray(value))
    return value.length === 1 ? 'a list of 1 entry' : `a list of ${value.length} entries`;
  return 'an object';
}

function shortened(text: string): string {
  return text.length <= 60 ? text : `${text.slice(0, 57)}..."`;
}

/** The value at a path of a document; undefined where there is none. */
export function valueAt(document: unknown, path: readonly PropertyKey[]): unknown {
  let value = document;
  for (const part of path) {
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, part)) return undefined;
    value = Reflect.get(value, part);
  }
  return value;
}
