import type { Chapter } from '../../book/verification-case.js';
import { linearity } from './linearity.js';
import { mirrorImage } from './mirror-image.js';
import { refinement } from './refinement.js';

/** What must hold for every structure. */
export const lawsChapter: Chapter = {
  id: 'laws',
  title: 'Laws',
  cases: [mirrorImage, refinement, linearity],
};
