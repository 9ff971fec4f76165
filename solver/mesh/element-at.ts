import type { BeamElement } from './mesh.js';

/** Index of the element at x of a layer, whose elements follow each other; at a node `side` picks the element before or after it. */
export function elementAt(elements: readonly BeamElement[], x: number, side: 'left' | 'right'): number {
  const nudged = x + (side === 'left' ? -1e-7 : 1e-7);
  let low = 0;
  let high = elements.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (elements[middle]!.x <= nudged) low = middle;
    else high = middle - 1;
  }
  return low;
}
