import { execFile } from 'node:child_process';
import { cpSync, mkdirSync, readFileSync, symlinkSync } from 'node:fs';
import { basename, join } from 'node:path';
import { promisify } from 'node:util';
import { expect, it } from 'vitest';
import { packageRoot } from '../../worker/compiled-file.js';
import { scratchDirectory } from './cli/scratch-directory.js';

const run = promisify(execFile);
const root = packageRoot();
const scratch = scratchDirectory();
const build = join(scratch.path, 'build');
const image = join(scratch.path, 'image');

/** Performs the COPY lines of a stage: from the clone, or from the folder of the stage before. */
function copyInto(target: string, stage: string): void {
  mkdirSync(target);
  for (const [, fromBuild, sources, to] of stage.matchAll(/^COPY (--from=build )?(.+) (\S+)$/gm)) {
    for (const source of sources!.split(' ')) {
      const from = fromBuild ? join(build, source.replace(/^\/app\//, '')) : join(root, source);
      const name = to!.endsWith('/') ? basename(source) : to!;
      if (name === 'node_modules') symlinkSync(join(root, 'node_modules'), join(target, name));
      else cpSync(from, join(target, name), { recursive: true });
    }
  }
}

it('the container image builds from what its file copies, and what it ends up with assesses a scenario', {
  timeout: 120_000,
}, async () => {
  const [, first, second] = readFileSync(join(root, 'Dockerfile'), 'utf8').split(/^FROM .*$/m);
  copyInto(build, first!);
  symlinkSync(join(root, 'node_modules'), join(build, 'node_modules'));
  const commit = '0123456789abcdef0123456789abcdef01234567';
  expect(first).toMatch(/^ARG DECKPACE_COMMIT=\nRUN npm run build/m);
  await run('npm', ['run', 'build'], { cwd: build, env: { ...process.env, DECKPACE_COMMIT: commit } });
  copyInto(image, second!);
  const { stdout } = await run(
    'node',
    ['dist/worker/cli/main.js', 'assess', 'scenarios/regression/single-span-bare.json', '--json'],
    { cwd: image, maxBuffer: 1e8 },
  );
  expect(JSON.parse(stdout)).toMatchObject({
    format: 'deckpace/result@1',
    provenance: { git_commit: commit },
  });
});
