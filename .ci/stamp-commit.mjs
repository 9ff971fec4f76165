// Writes dist/built-from.json: the commit that dist/ was compiled from, with -modified behind it where sources differ from it; null where that is not known.
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';

/** What dist/ is compiled from; a changed README makes no other program. */
const sources = [
  ...['solver', 'scenarios', 'worker', 'api', '.ci'],
  ...['package.json', 'package-lock.json', 'tsconfig.json', 'tsconfig.build.json', 'rolldown.config.js'],
];

/** Given where the repository is not, as while an image is built. */
function givenCommit() {
  const given = process.env.DECKPACE_COMMIT?.trim() ?? '';
  if (given === '') return null;
  if (/^[0-9a-f]{7,64}(-modified)?$/.test(given)) return given;
  console.error(
    `DECKPACE_COMMIT=${given} is no commit (7 to 64 of 0-9a-f, -modified behind it or not): none is recorded`,
  );
  return null;
}

function commitOfRepository() {
  // Without a repository of its own git would name that of a folder above.
  if (!existsSync('.git')) return null;
  // Within a hook these point elsewhere.
  const env = { ...process.env, GIT_DIR: undefined, GIT_WORK_TREE: undefined, GIT_INDEX_FILE: undefined };
  const git = (...words) =>
    execFileSync('git', words, { encoding: 'utf8', env, stdio: ['ignore', 'pipe', 'ignore'] }).trim();
  try {
    const commit = git('rev-parse', 'HEAD');
    return git('status', '--porcelain', '--', ...sources) === '' ? commit : `${commit}-modified`;
  } catch {
    return null;
  }
}

mkdirSync('dist', { recursive: true });
writeFileSync(
  'dist/built-from.json',
  `${JSON.stringify({ commit: givenCommit() ?? commitOfRepository() })}\n`,
);
