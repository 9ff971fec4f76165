import { spawn } from 'node:child_process';
import { cp, mkdtemp, readFile, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { packageRoot } from '../../worker/compiled-file.js';
import { type DeliberateFault, deliberateFaults } from './faults.js';

/**
 * Puts one deliberate fault after another into a copy of the sources, builds the copy and runs the regression set, or the tests that
 * the fault names. Exits 0 only when every fault was noticed. Words on the command line choose the faults with one of them in their names.
 */

const copied = [
  '.ci/build-kernel.mjs',
  'solver',
  'scenarios',
  'worker',
  'api',
  'package.json',
  'tsconfig.json',
  'tsconfig.build.json',
  'vitest.config.ts',
  'tests/unit',
  // Models that tests of units take from the book.
  'tests/verification',
  // What every run of tests sets up first.
  'tests/service/support',
];

type Verdict = 'noticed' | 'not noticed' | 'does not build' | 'does not fit';

const wanted = process.argv.slice(2);
const faults = deliberateFaults.filter(
  ({ name }) => wanted.length === 0 || wanted.some((word) => name.includes(word)),
);
if (faults.length === 0) throw new Error(`no fault has ${wanted.join(' or ')} in its name`);

const folder = await mkdtemp(join(tmpdir(), 'deckpace-mutation-'));
let noticed = 0;
try {
  await prepareCopy();
  // A set that is red without any fault would notice everything.
  if (!(await builds()))
    throw new Error('the sources do not build: nothing can be said about faults in them');
  if (faults.some(({ noticedBy }) => 'first' in noticedBy) && (await regressionIsRed('')))
    throw new Error('the regression is red without any fault: mend it first, or accept its changes');
  for (const { noticedBy } of faults)
    if ('test' in noticedBy && (await testsAreRed(noticedBy.test)))
      throw new Error(`${noticedBy.test} is red without any fault: mend it first`);
  for (const [index, fault] of faults.entries()) {
    const started = performance.now();
    const verdict = await tryFault(fault);
    if (verdict === 'noticed') noticed++;
    const seconds = ((performance.now() - started) / 1000).toFixed(0);
    console.log(
      `${String(index + 1).padStart(2)}/${faults.length}  ${verdict.padEnd(14)} ${fault.name} (${fault.file}), ${seconds} s`,
    );
  }
} finally {
  await rm(folder, { recursive: true, force: true });
}
console.log(
  `score: ${noticed} of ${faults.length} faults noticed, ${((100 * noticed) / faults.length).toFixed(0)} %`,
);
process.exitCode = noticed === faults.length ? 0 : 1;

async function prepareCopy(): Promise<void> {
  const root = packageRoot();
  for (const entry of copied) await cp(join(root, entry), join(folder, entry), { recursive: true });
  await symlink(join(root, 'node_modules'), join(folder, 'node_modules'), 'dir');
  // Tests are run from their sources and not built, and the copy need not be told where it came from.
  const config = JSON.parse(await readFile(join(folder, 'tsconfig.build.json'), 'utf8')) as {
    include: string[];
  };
  config.include = config.include.filter((entry) => !entry.startsWith('tests'));
  await writeFile(join(folder, 'tsconfig.build.json'), JSON.stringify(config));
}

async function tryFault({ file, find, replace, noticedBy }: DeliberateFault): Promise<Verdict> {
  const path = join(folder, file);
  const text = await readFile(path, 'utf8');
  if (text.split(find).length !== 2) return 'does not fit';
  await writeFile(
    path,
    text.replace(find, () => replace),
  );
  try {
    if (!(await builds())) return 'does not build';
    return (await isNoticed(noticedBy)) ? 'noticed' : 'not noticed';
  } finally {
    await writeFile(path, text);
  }
}

async function isNoticed(noticedBy: DeliberateFault['noticedBy']): Promise<boolean> {
  if ('test' in noticedBy) return testsAreRed(noticedBy.test);
  return (await regressionIsRed(noticedBy.first)) || regressionIsRed('');
}

/** A fault that the type check finds is no use here: it has to be one that only results can show. The bundle is left out. */
async function builds(): Promise<boolean> {
  if ((await run(process.execPath, ['.ci/build-kernel.mjs'])) !== 0) return false;
  return (await run('node_modules/.bin/tsc', ['-p', 'tsconfig.build.json', '--incremental'])) === 0;
}

/** @throws Error when the regression could not even run */
async function regressionIsRed(filter: string): Promise<boolean> {
  const code = await run(process.execPath, ['dist/worker/cli/main.js', 'regression', '--filter', filter]);
  if (code !== 0 && code !== 1)
    throw new Error(`the regression ended with ${code}, which says nothing about the fault`);
  return code === 1;
}

/** A file that is not there is red as well, with a fault and without. */
async function testsAreRed(file: string): Promise<boolean> {
  return (await run('node_modules/.bin/vitest', ['run', file])) !== 0;
}

function run(command: string, words: readonly string[]): Promise<number | null> {
  return new Promise((resolve, reject) => {
    const child = spawn(command, words, { cwd: folder, stdio: 'ignore' });
    child.on('error', reject);
    child.on('close', resolve);
  });
}
