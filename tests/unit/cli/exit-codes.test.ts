import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { fault } from '../../../scenarios/fault.js';
import {
  InterruptedError,
  InvalidScenarioError,
  StoreUnfitError,
  UnreadableFileError,
  UnwritableOutputError,
  UsageError,
} from '../../../worker/cli/command-errors.js';
import { exitCode, exitCodeOf, messageOf } from '../../../worker/cli/exit-codes.js';
import { runCommandLine } from '../../../worker/cli/program.js';
import { OutputClosedError } from '../../../worker/cli/terminal.js';
import { PartLimitExceeded, PartNotStarted } from '../../../worker/part-faults.js';
import { projectRoot } from './project-root.js';
import { recordedTerminal } from './recorded-terminal.js';

const invalid = new InvalidScenarioError([
  { file: 'a.json', faults: [fault(['line'], 'missing-key', { found: 'nothing', accepted: 'an object' })] },
]);

/** An error as Node throws it for a refusal of the system. */
function systemError(code: string): Error {
  return Object.assign(new Error(`${code}: refused`), { code });
}

function unreadable(code: string) {
  const error = new UnreadableFileError('b.json cannot be read', { cause: systemError(code) });
  return { file: 'b.json', faults: [], unreadable: error };
}

describe('exit codes', () => {
  it.each([
    [invalid, 2],
    [new UsageError('no such case'), 2],
    [new UnreadableFileError('absent'), 2],
    [new UnwritableOutputError('full'), 2],
    [new UnwritableOutputError('not permitted', { cause: systemError('EACCES') }), 2],
    [new UnwritableOutputError('full', { cause: systemError('ENOSPC') }), 3],
    [new UnwritableOutputError('over quota', { cause: systemError('EDQUOT') }), 3],
    [new UnwritableOutputError('over the size limit', { cause: systemError('EFBIG') }), 3],
    [new UnwritableOutputError('read-only', { cause: systemError('EROFS') }), 3],
    [new UnreadableFileError('broken', { cause: systemError('EIO') }), 3],
    [new OutputClosedError(systemError('EBADF')), 2],
    [new OutputClosedError(systemError('ENOSPC')), 3],
    [new InvalidScenarioError([...invalid.files, unreadable('ENOENT')]), 2],
    [new InvalidScenarioError([...invalid.files, unreadable('EIO')]), 3],
    [new StoreUnfitError('no Redis answers'), 3],
    [new InterruptedError('SIGINT'), 130],
    [new InterruptedError('SIGTERM'), 143],
    [new RangeError('a slip in the program'), 3],
    ['thrown text', 3],
  ])('%s ends with %i', (error, code) => {
    expect(exitCodeOf(error)).toBe(code);
  });

  it('a fault of the program is reported as one, with its stack', () => {
    expect(messageOf(new RangeError('index'))).toMatch(/internal failure.*\nRangeError: index\n\s+at /);
  });

  it('a disk that is full is said in one sentence, without a stack', () => {
    const error = new UnwritableOutputError('out cannot be written', { cause: systemError('ENOSPC') });
    expect(messageOf(error)).toBe('deckpace: out cannot be written\n');
  });

  it('are all listed in the help and in the README', async () => {
    const terminal = recordedTerminal();
    await runCommandLine(['--help'], terminal);
    const [, listed] = terminal.output().split('Exit codes:');
    const [, described] = readFileSync(join(projectRoot, 'README.md'), 'utf8').split('Exit codes: ');
    const sentence = described!.split('\n\n')[0];
    for (const code of Object.values(exitCode)) {
      expect(listed).toMatch(new RegExp(`^ {2}${code} +\\w`, 'm'));
      expect(sentence).toMatch(new RegExp(`(^|, )${code}\\s`));
    }
  });

  it('a part that was too large is said to be that, without a stack', () => {
    const error = new PartLimitExceeded({ damageCase: 'intact', trains: ['coal'] }, 'memory', '2048 MB');
    expect(exitCodeOf(error)).toBe(3);
    expect(messageOf(error)).toMatch(/^deckpace: case intact, coal: .*memory limit of 2048 MB.*\n$/);
  });

  it('a part for which the machine has no thread is said to be that, without a stack', () => {
    const error = new PartNotStarted({ damageCase: 'intact', trains: ['coal'] }, systemError('EAGAIN'));
    expect(exitCodeOf(error)).toBe(3);
    expect(messageOf(error)).toMatch(/^deckpace: case intact, coal: .*EAGAIN: refused.*--threads.*\n$/);
  });

  it('a fault of the input is reported without a stack', () => {
    expect(messageOf(invalid)).toBe(
      'deckpace: a.json: 1 fault\n  /line: found nothing; accepted: an object.\n',
    );
  });
});

describe('a wrong command line', () => {
  it.each([
    [['asess', 'a.json'], /unknown command 'asess'[\s\S]*assess/],
    [['assess', 'a.json', '--jsn'], /unknown option '--jsn'[\s\S]*--json/],
    [['assess'], /missing required argument/],
    [['assess', 'a.json', '--threads', '0'], /--threads[\s\S]*whole number from 1/],
    [['assess', 'a.json', '--threads', '1.5'], /--threads[\s\S]*whole number from 1/],
    [['assess', 'a.json', '--out'], /--out <DIR>' argument missing/],
    [['library', 'bridges'], /bridges/],
    [['library'], /library \[options\]/],
    [[], /Usage: deckpace/],
  ])('%j ends with 2 and says why', async (words, message) => {
    const terminal = recordedTerminal();
    expect(await runCommandLine(words, terminal)).toBe(2);
    expect(terminal.errors()).toMatch(message);
    expect(terminal.output()).toBe('');
  });
});

describe('help', () => {
  const commands = [
    'assess',
    'validate',
    'modes',
    'library',
    'library trains',
    'library limits',
    'library track',
  ];
  it.each(['', ...commands])('of "%s" has examples and ends with 0', async (command) => {
    const terminal = recordedTerminal();
    expect(await runCommandLine([...command.split(' ').filter(Boolean), '--help'], terminal)).toBe(0);
    expect(terminal.output()).toMatch(new RegExp(`Examples:\n  deckpace ${command}`));
    expect(terminal.errors()).toBe('');
  });

  it.each([
    ...['', ...commands, 'library vehicles', 'regression', 'diff', 'keys', 'subscriptions', 'restrictions'],
    ...['keys create', 'keys list', 'keys revoke', 'subscriptions list', 'subscriptions remove'],
    'restrictions rebuild-lists',
  ])('of "%s" has an example of it, and keeps within 84 columns', async (command) => {
    const terminal = recordedTerminal();
    expect(await runCommandLine([...command.split(' ').filter(Boolean), '--help'], terminal)).toBe(0);
    const [options = '', examples = ''] = terminal.output().split('Examples:');
    expect(examples).toContain(`\n  deckpace ${command}`);
    expect(`${options}${examples}`.split('\n').filter((line) => line.length > 84)).toEqual([]);
  });

  it('gives the version', async () => {
    const terminal = recordedTerminal();
    expect(await runCommandLine(['--version'], terminal)).toBe(0);
    expect(terminal.output()).toMatch(/^\d+\.\d+\.\d+\n$/);
  });
});
