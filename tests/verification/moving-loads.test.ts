import { verifyChapter } from './book/verify-chapter.js';
import { movingLoadsChapter } from './cases/moving-loads/chapter.js';

verifyChapter(movingLoadsChapter);
