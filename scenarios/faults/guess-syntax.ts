/**
 * The slip behind text that is no JSON, as a sentence; null where none is likely.
 *
 * @param offset of the first error
 */
export function guessSyntax(text: string, offset: number): string | null {
  const [before, after] = [text.slice(0, offset), text.slice(offset)];
  const near = text.slice(Math.max(0, offset - 9), offset + 9);
  if (/NaN|Infinity|undefined/.test(near)) {
    return 'NaN, Infinity and undefined are not JSON: write a number, or leave the key out.';
  }
  if (/\/[/*]/.test(near)) return 'JSON has no comments: use the key "notes".';
  const comma = guessComma(before, after);
  if (comma !== null) return comma;
  if (/,\s*$/.test(before) || /^,?\s*[}\]]/.test(after)) return 'Is there a comma too many?';
  if (/^[\u2018-\u201F\u00AB\u00BB]/.test(after)) {
    return 'JSON texts stand in straight double quotes ("), not in typographic ones.';
  }
  if (near.includes("'")) return 'JSON texts stand in double quotes.';
  if (/\d\s*$/.test(before) && /^[%\u2030]/.test(after)) {
    return 'JSON numbers stand without a sign for per cent: 1 % is 0.01.';
  }
  if (/\d\s*$/.test(before) && /^[\p{L}\u00B5\u00B0]/u.test(after)) {
    return 'JSON numbers stand without a unit: the key names it.';
  }
  return null;
}

/** A comma within a number: JSON reads what stands before it as the whole number, and stops behind it. */
function guessComma(before: string, after: string): string | null {
  const start = /[-\d,]+$/.exec(before.slice(-20))?.[0] ?? '';
  const rest = /^\d[\d,]*(?:\.\d+)?(?:e[-+]?\d+)?/i.exec(after.slice(0, 40))?.[0] ?? '';
  const number = /^(-?\d+),(\d+)((?:,\d{3})*)(\.\d+)?(e[-+]?\d+)?$/i.exec(start + rest.replace(/,$/, ''));
  if (rest === '' || number === null) return null;
  const [, whole = '', behind = '', groups = '', fraction = '', exponent = ''] = number;
  const inThousands = behind.length === 3 && !/^-?0/.test(whole);
  const thousands = `${whole}${behind}${groups.replaceAll(',', '')}${fraction}${exponent}`;
  const decimal = `${whole}.${behind}${exponent}`;
  if (groups === '' && fraction === '') {
    return inThousands
      ? `JSON numbers have no comma: write ${thousands} or ${decimal}, whichever is meant.`
      : `Write ${decimal} with a point.`;
  }
  return inThousands ? `JSON numbers have no comma: write ${thousands}.` : null;
}
