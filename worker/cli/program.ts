import { Command } from 'commander';
import { engineVersion } from '../engine-version.js';
import type { AssessOptions } from './assess-command.js';
import { UsageError } from './command-errors.js';
import { addComparisons } from './comparison-commands.js';
import { exitCodeOf, messageOf } from './exit-codes.js';
import { addKeys } from './keys-command.js';
import type { LibraryOptions } from './library-command.js';
import type { ModesOptions } from './modes-command.js';
import { collect, parseFolder, parseThreads } from './option-values.js';
import { addRestrictions } from './restrictions-command.js';
import { addSubscriptions } from './subscriptions-command.js';
import type { Terminal } from './terminal.js';
import type { ValidateOptions } from './validate-command.js';

/**
 * Runs the command line and returns the exit code. Nothing is thrown: whatever a command throws is said on standard error.
 *
 * @param words the words after the program's name
 */
export async function runCommandLine(words: readonly string[], terminal: Terminal): Promise<number> {
  try {
    await createProgram(terminal).parseAsync(words, { from: 'user' });
    return 0;
  } catch (error) {
    const message = messageOf(error);
    if (message !== '') terminal.stderr.write(message);
    return exitCodeOf(error);
  }
}

/** Each command is loaded when it is called: `assess` in a pipeline must not pay for the others. */
function createProgram(terminal: Terminal): Command {
  const program = new Command('deckpace')
    .description('Permitted train speeds on railway viaducts with slab track, intact and after damage.')
    .version(engineVersion())
    .exitOverride()
    .configureOutput({
      writeOut: (text) => terminal.stdout.write(text),
      writeErr: (text) => terminal.stderr.write(text),
    })
    .showHelpAfterError('(add --help for options and examples)')
    .addHelpText('after', programExamples)
    .hook('preAction', requireCurrentDirectory);
  addAssess(program, terminal);
  addValidate(program, terminal);
  addModes(program, terminal);
  addLibrary(program, terminal);
  addKeys(program, terminal);
  addRestrictions(program, terminal);
  addSubscriptions(program, terminal);
  addComparisons(program, terminal);
  return program;
}

/**
 * A shell may stand in a directory that a script has removed. No thread starts there and no relative path leads anywhere: a run
 * would wait for ever.
 *
 * @throws UsageError
 */
function requireCurrentDirectory(): void {
  try {
    process.cwd();
  } catch (error) {
    throw new UsageError(
      'the directory in which deckpace was started has been removed: change to one that is there and start again',
      { cause: error },
    );
  }
}

function addAssess(program: Command, terminal: Terminal): void {
  program
    .command('assess')
    .description(
      'assess scenarios: permitted speed of every train class in every damage case, with its evidence',
    )
    .argument('<FILE...>', 'scenario files')
    .option(
      '--out <DIR>',
      'write DIR/<scenario>/result.json, report.html and sweeps.csv (default: "out")',
      parseFolder,
    )
    .option(
      '--json',
      'print result.json alone on standard output, of several files one JSON document after the other; files are written only with --out',
      false,
    )
    .option('--threads <N>', 'threads to compute on (default: all the machine has)', parseThreads)
    .option(
      '--case <ID>',
      'only this damage case beside the intact one; may be repeated; a selection is written to DIR/<scenario>--selection',
      collect,
      [],
    )
    .option('--train <ID>', 'only this train; may be repeated; written as with --case', collect, [])
    .addHelpText('after', assessExamples)
    .action(async (files: string[], options: AssessOptions) =>
      (await import('./assess-command.js')).assessCommand(files, options, terminal),
    );
}

function addValidate(program: Command, terminal: Terminal): void {
  program
    .command('validate')
    .description('say whether files are valid scenarios, and list every fault')
    .argument('<FILE...>', 'scenario files')
    .option(
      '--json',
      'print verdicts and faults as one JSON array on standard output, also of files that cannot be read',
      false,
    )
    .addHelpText('after', validateExamples)
    .action(async (files: string[], options: ValidateOptions) =>
      (await import('./validate-command.js')).validateCommand(files, options, terminal),
    );
}

function addModes(program: Command, terminal: Terminal): void {
  program
    .command('modes')
    .description('natural frequencies, participation and mode shapes')
    .argument('<FILE>', 'scenario file')
    .option('--out <DIR>', 'write DIR/<scenario>/modes.svg (default: "out")', parseFolder)
    .option(
      '--json',
      'print the modes as JSON on standard output; the picture is written only with --out',
      false,
    )
    .option('--case <ID>', 'the deck in this damage case', 'intact')
    .addHelpText('after', modesExamples)
    .action(async (file: string, options: ModesOptions) =>
      (await import('./modes-command.js')).modesCommand(file, options, terminal),
    );
}

function addLibrary(program: Command, terminal: Terminal): void {
  const library = program
    .command('library')
    .description('what is built in, with the source of every value')
    .addHelpText('after', libraryExamples);
  for (const [topic, description] of libraryTopics)
    library
      .command(topic)
      .description(description)
      .option('--json', 'print as JSON on standard output', false)
      .addHelpText('after', `\nExamples:\n  deckpace library ${topic}\n  deckpace library ${topic} --json`)
      .action(async (options: LibraryOptions) =>
        (await import('./library-command.js')).libraryCommand(topic, options, terminal),
      );
}

const libraryTopics = [
  ['trains', 'load models of the codes and freight reference wagons'],
  ['limits', 'limit sets and the limits in them'],
  ['track', 'track forms with their stiffness, mass and damping'],
  ['vehicles', 'vehicles on springs with their masses, inertias, springs and dashpots'],
] as const;

const programExamples = `
Examples:
  deckpace validate viaduct.json
  deckpace assess viaduct.json
  deckpace assess viaduct.json --json | jq .recommendations
  deckpace modes viaduct.json
  deckpace library trains

Exit codes:
  0    assessed; a restricted or closed line is a result, too
  1    regression and diff only: results are not what they were
  2    invalid input, options or directories: every fault is listed
  3    internal failure, or one of the machine: disk full, quota or size limit
       reached, input or output broken, no fit Redis
  130  stopped by Ctrl-C (SIGINT)
  143  stopped by SIGTERM`;

const assessExamples = `
Examples:
  deckpace assess viaduct.json
  deckpace assess north.json south.json --out results --threads 4
  deckpace assess viaduct.json --case P2-lost --train HSLM-A1
  deckpace assess viaduct.json --json > result.json
  deckpace assess north.json south.json --json | jq --slurp 'map(.recommendations)'`;

const validateExamples = `
Examples:
  deckpace validate viaduct.json
  deckpace validate *.json --json`;

const modesExamples = `
Examples:
  deckpace modes viaduct.json
  deckpace modes viaduct.json --case P2-lost --out pictures
  deckpace modes viaduct.json --json`;

const libraryExamples = `
Examples:
  deckpace library trains
  deckpace library limits --json`;
