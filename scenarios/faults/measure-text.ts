/** Size of a JSON text that its parsers depend on, found in one walk and without building anything. */
export interface TextMeasure {
  /** Deepest nesting of objects and lists; the walk ends one beyond the limit. */
  readonly depth: number;
  /** Members of all objects where the text is well formed: every colon outside a string stands in one. */
  readonly members: number;
}

/** @param depthLimit levels, beyond which nobody wants to know more */
export function measureText(text: string, depthLimit: number): TextMeasure {
  let depth = 0;
  let deepest = 0;
  let members = 0;
  for (let at = 0; at < text.length; at++) {
    const code = text.charCodeAt(at);
    if (code === quote) {
      at = endOfString(text, at);
      if (at < 0) break;
    } else if (code === colon) members++;
    else if (code === openingBrace || code === openingBracket) {
      depth++;
      if (depth > deepest) deepest = depth;
      if (depth > depthLimit) break;
    } else if (code === closingBrace || code === closingBracket) depth--;
  }
  return { depth: deepest, members };
}

const quote = 0x22;
const colon = 0x3a;
const openingBrace = 0x7b;
const closingBrace = 0x7d;
const openingBracket = 0x5b;
const closingBracket = 0x5d;
const backslash = 0x5c;

/** Place of the quote that ends the string begun at `start`; -1 where none does. */
function endOfString(text: string, start: number): number {
  let at = start;
  do {
    at = text.indexOf('"', at + 1);
  } while (at >= 0 && isEscaped(text, at));
  return at;
}

function isEscaped(text: string, at: number): boolean {
  let backslashes = 0;
  while (text.charCodeAt(at - 1 - backslashes) === backslash) backslashes++;
  return backslashes % 2 === 1;
}
