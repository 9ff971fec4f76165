import { codePointName } from './code-point.js';

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
  if (/\/[/*]/.test(near) || /^(?:#|--|<!--)/.test(after))
    return 'JSON has no comments: use the key "notes".';
  const comma = guessComma(before, after);
  if (comma !== null) return comma;
  const written = guessNumberText(before, after) ?? guessCharacter(after);
  if (written !== null) return written;
  if (/[}\]]\s*$/.test(before) && /^\s*[}\]]/.test(after)) return 'Is there a bracket too many?';
  const commaBefore = /,\s*$/.test(before) && /^\s*[}\],\d-]/.test(after);
  if (commaBefore || /^,?\s*[}\]]/.test(after)) return 'Is there a comma too many?';
  if (/^[\u2018-\u201F\u00AB\u00BB]/.test(after)) {
    return 'JSON texts stand in straight double quotes ("), not in typographic ones.';
  }
  if (before.trim() !== '' && /^\s*(?:"[^"\n]*)?$/.test(after)) return 'Is the end of the file missing?';
  if (near.includes("'")) return 'JSON texts stand in double quotes.';
  if (/\d\s*$/.test(before) && /^[%\u2030]/.test(after)) {
    return 'JSON numbers stand without a sign for per cent: 1 % is 0.01.';
  }
  if (/\d\s*$/.test(before) && /^[\p{L}\u00B5\u00B0]/u.test(after)) {
    return 'JSON numbers stand without a unit: the key names it.';
  }
  return null;
}

/** A number in a form that other programs take and JSON does not; null where none stands there. */
function guessNumberText(before: string, after: string): string | null {
  if (!/[:[,]\s*-?[\d_ ]*$/.test(before.slice(-40))) return null;
  const groups = /[:[,]\s*(-?\d{1,3})$/.exec(before.trimEnd().slice(-40))?.[1];
  const grouped = /^[_ ]?(\d{3}(?:[_ ]\d{3})*)(?!\d)/.exec(after)?.[1];
  const parted = /[\s_]$/.test(before) || after.startsWith('_');
  if (parted && groups !== undefined && grouped !== undefined) {
    return `JSON numbers have no signs or spaces between digits: write ${groups}${grouped.replaceAll(/[_ ]/g, '')}.`;
  }
  if (/[:[,]\s*-?0$/.test(before.slice(-12)) && /^\d/.test(after)) {
    return 'JSON numbers do not begin with 0, unless a point follows.';
  }
  if (!/[:[,]\s*-?$/.test(before.slice(-12))) return null;
  if (/^\+\d/.test(after)) return 'JSON numbers have no plus sign.';
  const fraction = /^\.\d+/.exec(after)?.[0];
  return fraction === undefined ? null : `JSON numbers begin with a digit: write 0${fraction}.`;
}

/** Words and characters that stand for another; null for anything else. */
function guessCharacter(after: string): string | null {
  const word = /^(?:True|TRUE|False|FALSE|None|Null|NULL|yes|no)\b/.exec(after)?.[0];
  if (word !== undefined) return 'JSON writes true, false and null, in small letters.';
  const [first = ''] = after;
  const code = first.codePointAt(0) ?? 0x20;
  const blank = code > 0x7f && /[\s\p{Cf}]/u.test(first);
  return blank
    ? `There is a blank that is no plain space (${codePointName(first)}), as word processors write it.`
    : null;
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
