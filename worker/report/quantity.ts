/** A key of a scenario or result, split into the words and the unit that its suffix names. */
export interface QuantityName {
  /** The key in words, e.g. "Deck acceleration". */
  readonly label: string;
  /** The unit as it is printed, e.g. "m/s²"; null where the key names none. */
  readonly unit: string | null;
}

/** Suffix to printed unit; a longer suffix wins over a shorter one that it ends with. */
const units: ReadonlyMap<string, string> = new Map([
  ['m_per_s2', 'm/s²'],
  ['m_per_s', 'm/s'],
  ['N_s_per_m2', 'N·s/m²'],
  ['N_s_per_m', 'N·s/m'],
  ['N_per_mm2', 'N/mm²'],
  ['kN_per_m2', 'kN/m²'],
  ['kN_per_m', 'kN/m'],
  ['N_per_m2', 'N/m²'],
  ['N_per_m', 'N/m'],
  ['kg_per_m3', 'kg/m³'],
  ['kg_per_m', 'kg/m'],
  ['mm_per_m', 'mm/m'],
  ['rad_per_m', 'rad/m'],
  ['m_per_N', 'm/N'],
  ['N_m2', 'N·m²'],
  ['kN_m2', 'kN·m²'],
  ['kg_m2', 'kg·m²'],
  ['kNm', 'kNm'],
  ['Nm', 'Nm'],
  ['kmh', 'km/h'],
  ['km', 'km'],
  ['mm', 'mm'],
  ['m3', 'm³'],
  ['m2', 'm²'],
  ['m', 'm'],
  ['kN', 'kN'],
  ['N', 'N'],
  ['kg', 'kg'],
  ['t', 't'],
  ['Hz', 'Hz'],
  ['mrad', 'mrad'],
  ['rad', 'rad'],
  ['s', 's'],
]);

const suffixesLongestFirst = [...units.keys()].sort((a, b) => b.length - a.length);

/** Reads the unit from a key's suffix and the rest as words; a key without a known suffix has no unit. */
export function quantityName(key: string): QuantityName {
  const suffix = suffixesLongestFirst.find((candidate) => key.endsWith(`_${candidate}`));
  const stem = suffix === undefined ? key : key.slice(0, -suffix.length - 1);
  const words = stem.replaceAll('_', ' ').trim();
  if (words === '') return { label: key, unit: null };
  return { label: capitalised(words), unit: suffix === undefined ? null : (units.get(suffix) ?? null) };
}

/** The quantity with its unit as a heading, e.g. "Deck acceleration (m/s²)". */
export function quantityHeading(key: string): string {
  const { label, unit } = quantityName(key);
  return unit === null ? label : `${label} (${unit})`;
}

/** A unit written in plain ASCII, as the result file has it ("m/s2"), in the form that is printed ("m/s²"). */
export function printedUnit(unit: string): string {
  return unit.replace(/([a-z])2(?![0-9])/g, '$1²').replace(/([a-z])3(?![0-9])/g, '$1³');
}

function capitalised(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
