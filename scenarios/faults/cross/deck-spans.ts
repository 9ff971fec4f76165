import type { Path } from '../../fault.js';
import { entries, member, numberIn } from './lenient.js';

/** A stretch of constant properties: a segment, or the whole span where it has none. */
export interface Stretch {
  readonly path: Path;
  readonly length: number;
  /** N m2; null where it is missing or outside its range. */
  readonly rigidity: number | null;
}

/** A span as far as rules on the size of values need it. */
export interface DeckSpan {
  readonly length: number;
  /** kg/m, the mean over the span. */
  readonly mass: number;
  readonly stretches: readonly Stretch[];
}

/** The spans of the deck in order; null for one whose length or mass is missing or outside its range: that is a fault of its own. */
export function deckSpans(document: unknown): readonly (DeckSpan | null)[] {
  return entries(member(document, 'deck'), 'spans').map((span, index) => {
    const path = ['deck', 'spans', index];
    const length = inRange(span, 'length_m', 1, 500);
    if (length === null) return null;
    const segments = entries(span, 'segments');
    if (member(span, 'segments') === undefined) {
      const mass = massOf(span);
      return mass === null
        ? null
        : { length, mass, stretches: [{ path, length, rigidity: rigidityOf(span) }] };
    }
    const stretches: Stretch[] = [];
    let [total, mass] = [0, 0];
    for (const [place, segment] of segments.entries()) {
      const [own, perLength] = [inRange(segment, 'length_m', 0.05, 500), massOf(segment)];
      if (own === null || perLength === null) return null;
      total += own;
      mass += own * perLength;
      stretches.push({
        path: [...path, 'segments', place],
        length: own,
        rigidity: rigidityOf(segment),
      });
    }
    return total > 0 ? { length, mass: mass / total, stretches } : null;
  });
}

const massOf = (section: unknown): number | null => inRange(section, 'mass_kg_per_m', 50, 2e5);

const rigidityOf = (section: unknown): number | null => inRange(section, 'flexural_rigidity_N_m2', 1e6, 1e14);

function inRange(value: unknown, key: string, min: number, max: number): number | null {
  const found = numberIn(value, key);
  return found !== null && found >= min && found <= max ? found : null;
}
