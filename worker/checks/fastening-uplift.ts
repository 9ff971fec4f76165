import { against, type SafetyCheck } from './check.js';
import { entriesFor, objectiveOf } from './objective-entries.js';

/** Largest pull on a pair of seats; the rail's own weight, which helps a little, is left out. */
export const fasteningUplift: SafetyCheck = {
  id: 'fastening-uplift',
  unit: 'kN',
  objectives: ({ rows }) => [
    objectiveOf(entriesFor(rows, 'fastening-force', () => [{ weight: -1, offset: 0 }])),
  ],
  judge(input) {
    if (!input.limit) return null;
    let pull = 0;
    let at: number | null = null;
    let any = false;
    input.rows.forEach((row, index) => {
      if (row.quantity !== 'fastening-force') return;
      any = true;
      const tension = -input.peaks.smallest[index]! / 1e3;
      if (at === null || tension > pull) {
        pull = tension;
        at = row.x;
      }
    });
    return any ? against(input.limit, input.speedKmh, Math.max(0, pull), at, 'rail seats') : null;
  },
};
