import { z } from 'zod';
import { type Fault, fault } from '../fault.js';
import { quantities } from '../schema/quantity.js';
import { describeValue, valueAt } from './describe-value.js';
import { nearestKey } from './guess-key.js';
import { placeOfKey } from './key-elsewhere.js';
import { schemaAt, unwrapped } from './locate-schema.js';

interface UnknownKey {
  readonly key: string;
  readonly fault: Fault;
  /** The accepted key that was probably meant. */
  readonly meant: string | null;
}

/** One fault per unknown key of an object, at most `most`, with the key that was probably meant. */
export function unknownKeyFaults(
  root: z.ZodType,
  issue: z.core.$ZodIssueUnrecognizedKeys,
  document: unknown,
  most: number,
): readonly UnknownKey[] {
  const schema = schemaAt(root, issue.path, document);
  const shape = schema instanceof z.ZodObject ? schema.shape : {};
  const accepted = Object.keys(shape);
  const present = valueAt(document, issue.path);
  const free = accepted.filter((key) => valueAt(present, [key]) === undefined);
  return issue.keys.slice(0, most).map((key) => {
    const meant = nearestKey(key, free);
    const unit = meant === null ? undefined : unitOf(shape[meant]);
    return {
      key,
      meant,
      fault: fault([...issue.path, key], 'unknown-key', {
        found: `the unknown key ${JSON.stringify(key.slice(0, 60))} (${describeValue(valueAt(present, [key]))})`,
        accepted: `the keys ${accepted.join(', ')}`,
        guess:
          meant === null
            ? belongsTo(placeOfKey(root, key))
            : `Did you mean ${JSON.stringify(meant)}${unit === undefined ? '' : ` (in ${unit})`}?`,
      }),
    };
  });
}

const belongsTo = (place: string | null): string | null =>
  place === null ? null : `Does it belong at ${JSON.stringify(place)}?`;

function unitOf(schema: z.core.$ZodType | undefined): string | undefined {
  const inner = schema === undefined ? undefined : unwrapped(schema);
  const about = inner instanceof z.ZodNumber ? quantities.get(inner) : undefined;
  return about === undefined || about.unit.startsWith('-') ? undefined : about.unit;
}
