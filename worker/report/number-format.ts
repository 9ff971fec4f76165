const missing = '–';
const minus = '\u2212';
const thinSpace = '\u202f';

/**
 * A number for people: `digits` significant digits, thousands parted by a narrow space, a true minus sign. A dash stands
 * for null. Never exponent form for what an engineer meets (1e-4 to 1e9).
 */
export function formatNumber(value: number | null, digits = 3): string {
  if (value === null) return missing;
  if (value === 0) return '0';
  const magnitude = Math.floor(Math.log10(Math.abs(value)));
  if (magnitude >= 9 || magnitude < -4) return exponentForm(value.toExponential(digits - 1));
  const decimals = Math.max(0, digits - 1 - magnitude);
  return grouped(value.toFixed(Math.min(decimals, 8)));
}

/** The same with a fixed number of decimals. */
export function formatFixed(value: number | null, decimals: number): string {
  return value === null ? missing : grouped(value.toFixed(decimals));
}

/** A difference with its sign: "+12.3", "−4.0", "0". */
export function formatDifference(value: number, decimals: number): string {
  const text = formatFixed(value, decimals);
  if (Number(value.toFixed(decimals)) === 0) return '0';
  return value > 0 ? `+${text}` : text;
}

/** Utilisation, rounded up to two decimals: a check that fails at 1.001 must not read 1.00. */
export function formatUtilisation(value: number | null): string {
  if (value === null) return missing;
  if (value > 99) return '> 99';
  return formatFixed(Math.ceil(value * 100 - 1e-9) / 100, 2);
}

/** A speed rounded down to whole km/h, so that rounding never permits more. */
export function formatSpeed(value: number | null): string {
  return value === null ? missing : grouped(String(Math.floor(value + 1e-9)));
}

/** Every digit of a number as it was given, for echoing inputs. */
export function formatExact(value: number): string {
  const magnitude = Math.abs(value);
  if (magnitude !== 0 && (magnitude >= 1e7 || magnitude < 1e-4)) return exponentForm(value.toExponential());
  return String(value).replace('-', minus);
}

function exponentForm(text: string): string {
  const [mantissa = '', exponent = ''] = text.split('e');
  const power = exponent.replace('+', '').replace(/[-0-9]/g, (digit) => superscripts.get(digit) ?? digit);
  return `${mantissa.replace('-', minus)}${thinSpace}×${thinSpace}10${power}`;
}

const superscripts = new Map(
  [...'-0123456789'].map((digit, index) => [digit, [...'⁻⁰¹²³⁴⁵⁶⁷⁸⁹'][index] ?? digit]),
);

function grouped(text: string): string {
  const [whole = '', fraction] = text.replace(/^-/, '').split('.');
  const parted = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, thinSpace) : whole;
  const isZero = /^[0.]+$/.test(text.replace('-', ''));
  return (text.startsWith('-') && !isZero ? minus : '') + (fraction ? `${parted}.${fraction}` : parted);
}
