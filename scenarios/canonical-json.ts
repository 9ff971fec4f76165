import { createHash } from 'node:crypto';
import { configure } from 'safe-stable-stringify';

const stringify = configure({ deterministic: true, bigint: false, circularValue: Error, strict: true });

/**
 * A JSON value with sorted keys and without white space: the same text for the same content, whatever the order and layout
 * of the file. Throws TypeError for what JSON cannot hold.
 */
export function canonicalJson(value: unknown): string {
  const text = stringify(value);
  if (text === undefined) throw new TypeError('not a JSON value');
  return text;
}

/** SHA-256 of the canonical JSON, in hexadecimal digits. */
export function sha256OfJson(value: unknown): string {
  return createHash('sha256').update(canonicalJson(value)).digest('hex');
}
