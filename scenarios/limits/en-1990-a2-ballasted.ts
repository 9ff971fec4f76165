import type { LimitSetFile } from '../schema/limits.js';
import { en1990A2 } from './en-1990-a2.js';

/** The same with the lower deck acceleration at which ballast loses its hold. */
export const en1990A2Ballasted: LimitSetFile = {
  ...en1990A2,
  id: 'en-1990-a2-ballasted',
  title: 'EN 1990 Annex A2 and companions, ballasted track',
  limits: en1990A2.limits.map((limit) =>
    limit.check === 'deck-acceleration'
      ? {
          ...limit,
          steps: [{ up_to_kmh: null, value: 3.5 }],
          source: 'EN 1990:2002/A1 A2.4.4.2.1(4), ballasted (mem)',
        }
      : limit,
  ),
};
