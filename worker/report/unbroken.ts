const noBreakSpace = '\u00a0';

/** Units that follow a number in the sentences of a result and of the report. */
const units = ['%', 'km/h', 'm/s²', 'm/s', 'mm', 'm', 'kNm', 'kN', 'N/mm²', 'rad', 'Hz'];
const beforeUnit = new RegExp(`(?<=\\d) (?=(?:${units.join('|')})(?![\\p{L}\\p{N}/²]))`, 'gu');
const behindName = /(?<=\b(?:km|[Ss]pan)) (?=\d)/g;

/**
 * The sentence with spaces that end no line between a number and its unit ("58 %", "200 km/h"), and before a chainage ("km 12.464")
 * or the number of a span. Results hold plain spaces; this is for what is printed.
 */
export function unbroken(sentence: string): string {
  return sentence.replace(beforeUnit, noBreakSpace).replace(behindName, noBreakSpace);
}

/** What `unbroken` gave, once its lines are made: plain spaces again, so that what is copied from a terminal can be searched for. */
export function withPlainSpaces(lines: string): string {
  return lines.replaceAll(noBreakSpace, ' ');
}
