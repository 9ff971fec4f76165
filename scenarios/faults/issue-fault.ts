import { z } from 'zod';
import { type Fault, fault, type Path } from '../fault.js';
import { identifier, identifierText } from '../schema/identifier.js';
import { type Quantity, quantities, rangeText } from '../schema/quantity.js';
import { describeValue, valueAt } from './describe-value.js';
import { guessNumber } from './guess-number.js';
import { nearestWord } from './guess-word.js';
import { schemaAt } from './locate-schema.js';

/** Words one departure from the schema as a fault. */
export function faultOfIssue(root: z.ZodType, issue: z.core.$ZodIssue, document: unknown): Fault {
  const path = issue.path;
  const value = valueAt(document, path);
  const schema = schemaAt(root, path, document);
  const about = schema instanceof z.ZodNumber ? quantities.get(schema) : undefined;
  const accepted = acceptedText(schema, about);
  if (value === undefined) {
    const bySpan = path.at(-1) === 'span';
    const guess = bySpan ? 'Each entry here names its span: their order says nothing.' : null;
    return fault(path, 'missing-key', { found: 'nothing', accepted, guess });
  }
  const found = describeValue(value);
  switch (issue.code) {
    case 'invalid_type':
      return typeof value === 'number' && about !== undefined
        ? fault(path, 'out-of-range', { found, accepted })
        : fault(path, 'wrong-type', { found, accepted, guess: guessType(value, schema) });
    case 'too_small':
    case 'too_big':
      return sizeFault(path, issue, value, about, accepted);
    case 'invalid_format':
      return fault(path, 'bad-name', { found, accepted: identifierText, guess: guessName(value) });
    default:
      return fault(path, 'not-accepted', { found, accepted, guess: guessWord(value, schema) });
  }
}

/** Blanks at either end, which nobody sees; null where the name is wrong otherwise. */
function guessName(value: unknown): string | null {
  if (typeof value !== 'string' || !identifier.safeParse(value.trim()).success) return null;
  return `Is the space a slip? Then write ${JSON.stringify(value.trim())}.`;
}

function sizeFault(
  path: Path,
  issue: z.core.$ZodIssueTooBig | z.core.$ZodIssueTooSmall,
  value: unknown,
  about: Quantity | undefined,
  accepted: string,
): Fault {
  const found = describeValue(value);
  const tooBig = issue.code === 'too_big';
  if (Array.isArray(value)) {
    const bound = tooBig
      ? `at most ${String(issue.maximum)} entries`
      : `at least ${String(issue.minimum)} ${issue.minimum === 1 ? 'entry' : 'entries'}`;
    return fault(path, tooBig ? 'too-many' : 'too-few', { found, accepted: bound });
  }
  if (typeof value === 'string') {
    return tooBig
      ? fault(path, 'text-too-long', {
          found: `a text of ${value.length} characters`,
          accepted: `at most ${String(issue.maximum)} characters`,
        })
      : fault(path, 'text-empty', { found, accepted: 'a text' });
  }
  const guess = typeof value === 'number' && about !== undefined ? guessNumber(value, about) : null;
  return fault(path, 'out-of-range', { found, accepted, guess });
}

/** What a schema accepts, in words. */
function acceptedText(schema: z.core.$ZodType | null, about: Quantity | undefined): string {
  if (about !== undefined) return about.integer ? rangeText(about) : `a number, ${rangeText(about)}`;
  if (schema instanceof z.ZodObject) return `an object with the keys ${Object.keys(schema.shape).join(', ')}`;
  if (schema instanceof z.ZodArray) return 'a list [...]';
  if (schema instanceof z.ZodBoolean) return 'true or false';
  const words = wordsOf(schema);
  if (words.length > 0) return `${words.length > 1 ? 'one of ' : ''}${words.join(', ')}`;
  if (schema instanceof z.ZodString) return schema.format === 'regex' ? identifierText : 'a text';
  return 'another value';
}

function wordsOf(schema: z.core.$ZodType | null): readonly string[] {
  if (schema instanceof z.ZodEnum) return schema.options.map(String);
  if (schema instanceof z.ZodLiteral) return [...schema.values].map(String);
  return [];
}

function guessType(value: unknown, schema: z.core.$ZodType | null): string | null {
  if (schema instanceof z.ZodNumber && typeof value === 'string') {
    const number = Number(value.replace(',', '.'));
    if (value.trim() !== '' && Number.isFinite(number)) return `Write ${number} without quotes.`;
  }
  if (schema instanceof z.ZodArray && typeof value === 'object' && value !== null && !Array.isArray(value)) {
    return 'Put it in square brackets, even if it is only one.';
  }
  return null;
}

function guessWord(value: unknown, schema: z.core.$ZodType | null): string | null {
  if (typeof value !== 'string') return null;
  const nearest = nearestWord(value, wordsOf(schema));
  return nearest === null ? null : `Did you mean ${JSON.stringify(nearest)}?`;
}
