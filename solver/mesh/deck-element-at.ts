import type { Mesh } from './mesh.js';

/** Index of the deck element at x; at a node `side` picks the element before or after it. */
export function deckElementAt({ deck }: Mesh, x: number, side: 'left' | 'right'): number {
  const nudged = x + (side === 'left' ? -1e-7 : 1e-7);
  let low = 0;
  let high = deck.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (deck[middle]!.x <= nudged) low = middle;
    else high = middle - 1;
  }
  return low;
}
