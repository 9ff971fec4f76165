import { mkdirSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { engineName } from '../../worker/engine-version.js';
import { allChapters } from './all-chapters.js';
import { commitStamp } from './book/commit-stamp.js';
import { isWithinTolerance } from './book/judge-quantity.js';
import { renderBook } from './book/render-book.js';

/** `npm run verification`: evaluates every example and writes out/verification.html; exit code 1 when a value misses its tolerance. */
const chapters = allChapters.map((chapter) => ({
  chapter,
  cases: chapter.cases.map((verificationCase) => {
    process.stderr.write(`${chapter.title}: ${verificationCase.title}\n`);
    return { verificationCase, evidence: verificationCase.evaluate() };
  }),
}));
const quantities = chapters.flatMap(({ cases }) => cases.flatMap(({ evidence }) => evidence.quantities));
const missed = quantities.filter((quantity) => !isWithinTolerance(quantity));
for (const { name } of missed) process.stderr.write(`missed its tolerance: ${name}\n`);

const file = join(resolve('out'), 'verification.html');
mkdirSync(resolve('out'), { recursive: true });
writeFileSync(file, renderBook(chapters, engineName(), commitStamp()));
process.stdout.write(`${quantities.length} values, ${missed.length} missed\n${file}\n`);
process.exitCode = missed.length === 0 ? 0 : 1;
