import { againstLargest, type SafetyCheck, supportName } from './check.js';
import { bothWays, entriesFor, objectiveOf } from './objective-entries.js';

/** Rotation of a deck end at an abutment, or the angle between two deck ends at a joint, under the train. */
export const endRotation: SafetyCheck = {
  id: 'end-rotation',
  unit: 'rad',
  objectives: ({ rows }) => [objectiveOf(entriesFor(rows, 'end-rotation', bothWays(1)))],
  judge: (input) => againstLargest(input, 'end-rotation', ({ support }) => supportName(input, support)),
};
