import { verifyChapter } from './book/verify-chapter.js';
import { vehiclesChapter } from './cases/vehicles/chapter.js';

verifyChapter(vehiclesChapter);
