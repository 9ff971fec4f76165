import { againstLargest, type SafetyCheck, spanName } from './check.js';
import { bothWays, entriesFor, objectiveOf } from './objective-entries.js';

/** Vertical deck acceleration: ballastless track loosens, ballast loses its hold. Modes up to the code's frequency. */
export const deckAcceleration: SafetyCheck = {
  id: 'deck-acceleration',
  unit: 'm/s2',
  objectives: ({ rows }) => [objectiveOf(entriesFor(rows, 'deck-acceleration', bothWays(1)))],
  judge: (input) => againstLargest(input, 'deck-acceleration', ({ span }) => spanName(span)),
};
