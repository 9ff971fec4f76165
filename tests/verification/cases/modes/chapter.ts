import type { Chapter } from '../../book/verification-case.js';
import { condensedFrame } from './condensed-frame.js';
import { elasticEndSupports } from './elastic-end-supports.js';
import { equalSpans } from './equal-spans.js';
import { orderOfConvergence } from './order-of-convergence.js';
import { shearDeformation } from './shear-deformation.js';

/** Natural frequencies. */
export const modesChapter: Chapter = {
  id: 'modes',
  title: 'Natural frequencies',
  cases: [equalSpans, elasticEndSupports, shearDeformation, condensedFrame, orderOfConvergence],
};
