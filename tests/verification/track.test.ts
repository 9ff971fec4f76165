import { verifyChapter } from './book/verify-chapter.js';
import { trackChapter } from './cases/track/chapter.js';

verifyChapter(trackChapter);
