import { verifyChapter } from './book/verify-chapter.js';
import { lawsChapter } from './cases/laws/chapter.js';

verifyChapter(lawsChapter);
