import { execFile } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { describe, expect, it } from 'vitest';
import { projectRoot } from './project-root.js';

const run = promisify(execFile);
const readme = readFileSync(join(projectRoot, 'README.md'), 'utf8');
const continuousIntegration = readFileSync(join(projectRoot, '.ci/run'), 'utf8');
const commands = [...readme.matchAll(/```sh\n(.*?)```/gs)].flatMap(([, block]) => block!.trim().split('\n'));
const ours = /^npm run (?:--silent )?deckpace -- /;

describe('the README', () => {
  it('opens with exactly two commands for a fresh clone', () => {
    expect(commands.slice(0, 2)).toEqual(['npm ci && npm run demo', 'npm ci && npm test']);
    expect(commands.slice(2).filter((command) => !ours.test(command))).toEqual([]);
  });

  it.each(commands.slice(0, 2))('has continuous integration run `%s`', (command) => {
    const steps = continuousIntegration.split('\n').map((line) => line.replace(/ --no-.*/, ''));
    for (const step of command.split(' && ')) expect(steps).toContain(step);
  });

  it.each(commands.filter((command) => ours.test(command)))(
    'shows a command that works: %s',
    async (command) => {
      // What `npm run deckpace` does after its build; building here would pull dist/ away from under other tests.
      const line = command.replace(ours, 'node dist/worker/cli/main.js ');
      const { stderr } = await run('sh', ['-c', `mkdir -p out && ${line}`], { cwd: projectRoot });
      expect(stderr).not.toMatch(/fault|failure|error/i);
    },
    180_000,
  );

  it.each(['assess', 'validate', 'modes', 'library', 'keys', 'restrictions', 'subscriptions'])(
    'describes the command %s',
    (name) => {
      expect(readme.includes(`| \`${name} `)).toBe(true);
    },
  );

  it('describes as many commands as the program has', async () => {
    const { stdout } = await run('node', ['dist/worker/cli/main.js', '--help'], { cwd: projectRoot });
    const [, listed] = stdout.split('Commands:');
    const names = [...listed!.split('Examples:')[0]!.matchAll(/^ {2}(\w+)/gm)].map(([, name]) => name!);
    const undescribed = names.filter((name) => name !== 'help' && !readme.includes(`\`${name} `));
    expect(names.length).toBeGreaterThan(4);
    expect(undescribed).toEqual([]);
  });
});

it('scenarios/README.md names every option of the regression, for whoever runs it in a pipeline of their own', async () => {
  const text = readFileSync(join(projectRoot, 'scenarios/README.md'), 'utf8');
  const help = await run('node', ['dist/worker/cli/main.js', 'regression', '--help'], { cwd: projectRoot });
  const options = [...help.stdout.matchAll(/^ +(--\w+) </gm)].map(([, name]) => name!);
  expect(options.length).toBeGreaterThan(5);
  expect(options.filter((name) => !text.includes(`${name} `))).toEqual([]);
});
