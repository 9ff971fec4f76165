import { verifyChapter } from './book/verify-chapter.js';
import { torsionChapter } from './cases/torsion/chapter.js';

verifyChapter(torsionChapter);
