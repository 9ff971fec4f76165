import { execFile } from 'node:child_process';
import { cpSync, mkdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { beforeEach, describe, expect, it } from 'vitest';
import { packageRoot } from '../../worker/compiled-file.js';
import { scratchDirectory } from './cli/scratch-directory.js';

const run = promisify(execFile);
const root = packageRoot();
const script = join(root, '.ci/stamp-commit.mjs');
const scratch = scratchDirectory();
const clone = join(scratch.path, 'clone');
const given = '0123456789abcdef0123456789abcdef01234567';

/** Nothing of the git of whoever runs the tests. */
const quietly = {
  ...{ PATH: process.env.PATH ?? '', HOME: scratch.path, GIT_CONFIG_NOSYSTEM: '1' },
  ...{
    GIT_AUTHOR_NAME: 'A',
    GIT_AUTHOR_EMAIL: 'a@example',
    GIT_COMMITTER_NAME: 'A',
    GIT_COMMITTER_EMAIL: 'a@example',
  },
};

async function git(...words: string[]): Promise<string> {
  return (await run('git', words, { cwd: clone, env: quietly })).stdout.trim();
}

async function stamp(environment: Readonly<Record<string, string>> = {}): Promise<unknown> {
  await run(process.execPath, [script], { cwd: clone, env: { ...quietly, ...environment } });
  return JSON.parse(readFileSync(join(clone, 'dist/built-from.json'), 'utf8'));
}

describe('the commit that a build is stamped with', () => {
  beforeEach(async () => {
    rmSync(clone, { recursive: true, force: true });
    mkdirSync(join(clone, 'worker'), { recursive: true });
    writeFileSync(join(clone, 'worker/a.ts'), '1');
    writeFileSync(join(clone, 'README.md'), '1');
    writeFileSync(join(clone, '.gitignore'), 'dist\n');
    await git('init', '-q');
    await git('add', '.');
    await git('commit', '-qm', 'first');
  });

  it('is the one checked out, and said to be modified where sources differ from it', async () => {
    const commit = await git('rev-parse', 'HEAD');
    writeFileSync(join(clone, 'README.md'), '2');
    expect(await stamp()).toEqual({ commit });
    writeFileSync(join(clone, 'worker/b.ts'), 'not tracked');
    expect(await stamp()).toEqual({ commit: `${commit}-modified` });
    rmSync(join(clone, 'worker/b.ts'));
    writeFileSync(join(clone, 'worker/a.ts'), '2');
    expect(await stamp({ GIT_DIR: '/nowhere' })).toEqual({ commit: `${commit}-modified` });
  });

  it('is none without git or without a repository of its own, and the build goes on', async () => {
    expect(await stamp({ PATH: '/nowhere' })).toEqual({ commit: null });
    const inner = join(clone, 'unpacked');
    mkdirSync(inner);
    await run(process.execPath, [script], { cwd: inner, env: quietly });
    expect(JSON.parse(readFileSync(join(inner, 'dist/built-from.json'), 'utf8'))).toEqual({ commit: null });
  });

  it('is the one given, as while an image is built; what is none is not recorded', async () => {
    expect(await stamp({ DECKPACE_COMMIT: given })).toEqual({ commit: given });
    const commit = await git('rev-parse', 'HEAD');
    expect(await stamp({ DECKPACE_COMMIT: 'latest' })).toEqual({ commit });
    expect(await stamp({ DECKPACE_COMMIT: '' })).toEqual({ commit });
  });
});

it('a copy of dist/ names the commit it was built from, whatever repository it lies in', {
  timeout: 60_000,
}, async () => {
  const copy = join(scratch.path, 'copy');
  cpSync(join(root, 'dist'), join(copy, 'dist'), { recursive: true });
  cpSync(join(root, 'package.json'), join(copy, 'package.json'));
  symlinkSync(join(root, 'node_modules'), join(copy, 'node_modules'));
  const scenario = join(root, 'scenarios/regression/single-span-bare.json');
  const { env } = process;
  const commitOf = async (text: string) => {
    writeFileSync(join(copy, 'dist/built-from.json'), text);
    const words = ['dist/worker/cli/main.js', 'assess', scenario, '--json'];
    const { stdout } = await run(process.execPath, words, { cwd: copy, env, maxBuffer: 1e8 });
    return JSON.parse(stdout).provenance.git_commit;
  };
  mkdirSync(join(copy, '.git'));
  writeFileSync(join(copy, '.git/HEAD'), 'f'.repeat(40));
  expect(await commitOf(JSON.stringify({ commit: given }))).toBe(given);
  expect(await commitOf(JSON.stringify({ commit: null }))).toBeNull();
});
