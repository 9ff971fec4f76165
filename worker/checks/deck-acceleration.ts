import { against, largestAbsolute, type SafetyCheck, sideName, spanName } from './check.js';
import { bothWays, entriesFor, objectiveOf } from './objective-entries.js';

/** Vertical deck acceleration: ballastless track loosens, ballast loses its hold. Modes up to the code's frequency. */
export const deckAcceleration: SafetyCheck = {
  id: 'deck-acceleration',
  unit: 'm/s2',
  objectives: ({ rows }) => [objectiveOf(entriesFor(rows, 'deck-acceleration', bothWays(1)))],
  judge(input) {
    const worst = largestAbsolute(input, 'deck-acceleration');
    if (!worst || !input.limit) return null;
    return against(
      input.limit,
      input.speedKmh,
      worst.value,
      worst.row.x,
      spanName(worst.row.span) + sideName(worst.row),
    );
  },
};
