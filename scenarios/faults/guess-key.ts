import { distance } from 'fastest-levenshtein';

const unitSuffix =
  /_(?:m|mm|cm|km|kN|N|MN|t|kg|kNm|Nm|kmh|ms|m_per_s|Hz|kg_per_m|t_per_m|kN_per_m|m_per_s2|N_per_m|kN_per_m2?|N_per_m2|N_m2|kN_m2|N_s_per_m2?)$/;

/**
 * The accepted key that was probably meant by an unknown one: the same words with another unit or none, else the nearest by
 * edit distance if it is near. Null where nothing is near.
 */
export function nearestKey(unknown: string, accepted: readonly string[]): string | null {
  const stem = stemOf(unknown);
  const sameStem = accepted.find((key) => stemOf(key) === stem);
  if (sameStem !== undefined) return sameStem;
  let best: string | null = null;
  let bestDistance = Number.POSITIVE_INFINITY;
  for (const key of accepted) {
    const steps = Math.min(distance(key.toLowerCase(), unknown.toLowerCase()), distance(stemOf(key), stem));
    if (steps < bestDistance && steps <= Math.max(1, Math.floor(0.34 * Math.max(stem.length, 3)))) {
      best = key;
      bestDistance = steps;
    }
  }
  return best;
}

/** The key's words without their unit, in lower case with single underscores. */
function stemOf(key: string): string {
  const snake = key.replaceAll(/([a-z0-9])([A-Z])(?=[a-z])/g, '$1_$2').replaceAll('-', '_');
  return snake.replace(unitSuffix, '').toLowerCase();
}
