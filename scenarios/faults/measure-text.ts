/** Size of a JSON text that its parsers depend on, found in one walk and without building anything. */
export interface TextMeasure {
  /** Deepest nesting of objects and lists; the walk ends one beyond the limit. */
  readonly depth: number;
  /** Members of all objects where the text is well formed: every colon outside a string stands in one. */
  readonly members: number;
}

/**
 * Walks the bytes and not the characters: no byte of a longer UTF-8 sequence is below 0x80, where everything looked for is.
 *
 * @param text in UTF-8
 * @param depthLimit levels, beyond which nobody wants to know more
 */
export function measureText(text: Uint8Array, depthLimit: number): TextMeasure {
  let depth = 0;
  let deepest = 0;
  let members = 0;
  for (let at = 0; at < text.length; at++) {
    const byte = text[at]!;
    if (byte < quote) continue;
    if (byte === quote) at = endOfString(text, at);
    else if (byte === colon) members++;
    else if (byte === openingBrace || byte === openingBracket) {
      depth++;
      if (depth > deepest) deepest = depth;
      if (depth > depthLimit) break;
    } else if (byte === closingBrace || byte === closingBracket) depth--;
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

/** Place of the quote that ends the string begun at `start`; the end of the text where none does. */
function endOfString(text: Uint8Array, start: number): number {
  let at = start + 1;
  while (at < text.length) {
    const byte = text[at]!;
    if (byte === quote) break;
    at += byte === backslash ? 2 : 1;
  }
  return at;
}
