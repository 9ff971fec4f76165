import { verifyChapter } from './book/verify-chapter.js';
import { staticsChapter } from './cases/statics/chapter.js';

verifyChapter(staticsChapter);
