/** How Unicode names the first character of a text: U+ and at least four hexadecimal digits. */
export function codePointName(text: string): string {
  const code = text.codePointAt(0) ?? 0;
  return `U+${code.toString(16).toUpperCase().padStart(4, '0')}`;
}
