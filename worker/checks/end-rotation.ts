import { against, largestAbsolute, type SafetyCheck, sideName, supportName } from './check.js';
import { bothWays, entriesFor, objectiveOf } from './objective-entries.js';

/** Rotation of a deck end at an abutment, or the angle between two deck ends at a joint, under the train. */
export const endRotation: SafetyCheck = {
  id: 'end-rotation',
  unit: 'rad',
  objectives: ({ rows }) => [objectiveOf(entriesFor(rows, 'end-rotation', bothWays(1)))],
  judge(input) {
    const worst = largestAbsolute(input, 'end-rotation');
    if (!worst || !input.limit) return null;
    return against(
      input.limit,
      input.speedKmh,
      worst.value,
      worst.row.x,
      supportName(input, worst.row.support) + sideName(worst.row),
    );
  },
};
