import type { Chapter } from './book/verification-case.js';
import { lawsChapter } from './cases/laws/chapter.js';
import { modesChapter } from './cases/modes/chapter.js';
import { movingLoadsChapter } from './cases/moving-loads/chapter.js';
import { staticsChapter } from './cases/statics/chapter.js';
import { torsionChapter } from './cases/torsion/chapter.js';
import { trackChapter } from './cases/track/chapter.js';
import { vehiclesChapter } from './cases/vehicles/chapter.js';

/** The verification book in the order in which it is read. */
export const allChapters: readonly Chapter[] = [
  modesChapter,
  staticsChapter,
  movingLoadsChapter,
  torsionChapter,
  trackChapter,
  lawsChapter,
  vehiclesChapter,
];
