import { z } from 'zod';
import { unwrapped } from './locate-schema.js';

/** Objects within objects that are looked through; deeper ones no writer takes for the whole. */
const deepest = 3;

/**
 * Where in a file a key is accepted that was put somewhere else: "decision.overspeed_factor", or "deck.spans[].length_m" within a list. Null where
 * nowhere, or in several places.
 */
export function placeOfKey(root: z.core.$ZodType, key: string): string | null {
  const places = placesBelow(root, key, [], deepest);
  return places.length === 1 ? places[0]! : null;
}

function placesBelow(
  schema: z.core.$ZodType,
  key: string,
  path: readonly string[],
  levels: number,
): readonly string[] {
  const inner = unwrapped(schema);
  if (inner instanceof z.ZodArray) {
    const last = path.at(-1) ?? '';
    return placesBelow(inner.element, key, [...path.slice(0, -1), `${last}[]`], levels);
  }
  if (!(inner instanceof z.ZodObject) || levels < 0) return [];
  const here = Object.hasOwn(inner.shape, key) ? [[...path, key].join('.')] : [];
  const below = Object.entries(inner.shape).flatMap(([name, child]) =>
    placesBelow(child, key, [...path, name], levels - 1),
  );
  return [...here, ...below];
}
