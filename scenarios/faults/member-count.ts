/** Members of all objects in JSON text that is known to be well formed: every colon outside a string stands in one. */
export function membersInText(text: string): number {
  let members = 0;
  for (let at = 0; at < text.length; at++) {
    const code = text.charCodeAt(at);
    if (code === 0x3a) members++;
    else if (code === 0x22) {
      do {
        at = text.indexOf('"', at + 1);
      } while (isEscaped(text, at));
    }
  }
  return members;
}

/** Members of all objects in a parsed JSON document. Fewer than in its text: some key stood twice in one object. */
export function membersInDocument(value: unknown): number {
  if (typeof value !== 'object' || value === null) return 0;
  const inner = Object.values(value);
  let members = Array.isArray(value) ? 0 : inner.length;
  for (const one of inner) members += membersInDocument(one);
  return members;
}

function isEscaped(text: string, quote: number): boolean {
  let backslashes = 0;
  while (text.charCodeAt(quote - 1 - backslashes) === 0x5c) backslashes++;
  return backslashes % 2 === 1;
}
