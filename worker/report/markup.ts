import escapeHtml from 'escape-html';

/** A piece of HTML or SVG that is safe to place into a page as it stands. Only `markup` makes one. */
export class Markup {
  constructor(readonly text: string) {}
  toString(): string {
    return this.text;
  }
}

/** What a template may hold: text and numbers are escaped, markup is taken as it is, null and false vanish. */
export type MarkupValue = string | number | null | false | Markup | readonly MarkupValue[];

/** Nothing at all. */
export const nothing = new Markup('');

/**
 * Template tag for HTML and SVG. Every interpolated text is escaped for element content and for quoted attributes, so
 * that a scenario's titles and ids can never become elements; lists are joined without a separator.
 */
export function markup(strings: TemplateStringsArray, ...values: readonly MarkupValue[]): Markup {
  let text = strings[0] ?? '';
  for (let index = 0; index < values.length; index++) {
    text += escaped(values[index] ?? null) + (strings[index + 1] ?? '');
  }
  return new Markup(text);
}

function escaped(value: MarkupValue): string {
  if (value === null || value === false) return '';
  if (value instanceof Markup) return value.text;
  if (typeof value === 'string') return escapeHtml(printable(value));
  if (typeof value === 'number') return String(value);
  return value.map(escaped).join('');
}

/**
 * The text without characters that HTML, SVG and terminals cannot show: control characters, lone surrogates and the
 * marks that reverse the reading direction become U+FFFD.
 */
export function printable(text: string): string {
  return text.replace(
    /[\u202a-\u202e\u2066-\u2069]|\p{Surrogate}|\p{Noncharacter_Code_Point}|(?![\t\n])\p{Cc}/gu,
    '\ufffd',
  );
}
