import { describe, expect, it } from 'vitest';
import { fault } from '../../../scenarios/fault.js';
import {
  InterruptedError,
  InvalidScenarioError,
  UnreadableFileError,
  UnwritableOutputError,
  UsageError,
} from '../../../worker/cli/command-errors.js';
import { exitCodeOf, messageOf } from '../../../worker/cli/exit-codes.js';
import { runCommandLine } from '../../../worker/cli/program.js';
import { OutputClosedError } from '../../../worker/cli/terminal.js';
import { PartLimitExceeded } from '../../../worker/part-faults.js';
import { recordedTerminal } from './recorded-terminal.js';

const invalid = new InvalidScenarioError([
  { file: 'a.json', faults: [fault(['line'], 'missing-key', { found: 'nothing', accepted: 'an object' })] },
]);

describe('exit codes', () => {
  it.each([
    [invalid, 2],
    [new UsageError('no such case'), 2],
    [new UnreadableFileError('absent'), 2],
    [new UnwritableOutputError('full'), 2],
    [new OutputClosedError(new Error('full')), 2],
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

  it('a part that was too large is said to be that, without a stack', () => {
    const error = new PartLimitExceeded({ damageCase: 'intact', trains: ['coal'] }, 'memory', '2048 MB');
    expect(exitCodeOf(error)).toBe(3);
    expect(messageOf(error)).toMatch(/^deckpace: case intact, coal: .*memory limit of 2048 MB.*\n$/);
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

  it('gives the version', async () => {
    const terminal = recordedTerminal();
    expect(await runCommandLine(['--version'], terminal)).toBe(0);
    expect(terminal.output()).toMatch(/^\d+\.\d+\.\d+\n$/);
  });
});
