import { verifyChapter } from './book/verify-chapter.js';
import { modesChapter } from './cases/modes/chapter.js';

verifyChapter(modesChapter);
