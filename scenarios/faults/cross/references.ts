import { distance } from 'fastest-levenshtein';
import { type Fault, fault, type Path } from '../../fault.js';
import { identifier } from '../../schema/identifier.js';
import { numberText } from '../../schema/quantity.js';
import { codePointName } from '../code-point.js';
import { entries, member, textIn } from './lenient.js';
import { oncePerList } from './once-per-list.js';

/** The supports that have an id, in order; of several with one id the first. */
export function supportsById(document: unknown): ReadonlyMap<string, unknown> {
  return byId(entries(document, 'supports'));
}

const byId = oncePerList((supports): ReadonlyMap<string, unknown> => {
  const found = new Map<string, unknown>();
  for (const support of supports) {
    const id = textIn(support, 'id');
    if (id !== null && !found.has(id)) found.set(id, support);
  }
  return found;
});

/** A fault where an id names no support; nothing where it does, or is not a text. */
export function unknownSupport(document: unknown, id: unknown, path: Path): readonly Fault[] {
  const supports = supportsById(document);
  if (typeof id !== 'string' || supports.size === 0 || supports.has(id)) return [];
  // Spelt as no name may be: that is a fault of its own.
  if (!identifier.safeParse(id).success) return [];
  const known = [...supports.keys()];
  const nearest = known.find(
    (one) => distance(one.toLowerCase(), id.toLowerCase()) <= (id.length > 3 ? 2 : 0),
  );
  const listed = known.length <= 30 ? known : [...known.slice(0, 30), `... (${known.length} in all)`];
  return [
    fault(path, 'unknown-support', {
      found: `the text ${JSON.stringify(id.slice(0, 60))}`,
      accepted: `the id of a support: ${listed.join(', ')}`,
      guess: nearest === undefined ? foreignLetter(id, known) : `Did you mean ${JSON.stringify(nearest)}?`,
    }),
  ];
}

/** A letter that only looks like the one meant, as a Cyrillic Р does like a P; null where there is none beside plain names. */
function foreignLetter(id: string, known: readonly string[]): string | null {
  const [strange] = id.match(/[^\x20-\x7e]/u) ?? [];
  if (strange === undefined || known.some((name) => name.includes(strange))) return null;
  return `It has the letter ${strange} (${codePointName(strange)}), which no support's id has.`;
}

/** A fault where a number, counted from 1, names no span. 0 and below are out of range already, by the schema. */
export function unknownSpan(document: unknown, span: number | null, path: Path): readonly Fault[] {
  const count = entries(member(document, 'deck'), 'spans').length;
  if (span === null || count === 0 || span <= count || !Number.isInteger(span)) return [];
  return [
    fault(path, 'unknown-span', {
      found: numberText(span),
      accepted: `1 to ${count}: spans are counted from 1`,
    }),
  ];
}
