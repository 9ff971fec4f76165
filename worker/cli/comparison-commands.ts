import type { Command } from 'commander';
import { mostListed } from '../regression/movement-text.js';
import type { DiffOptions } from './diff-command.js';
import { collect, parseThreads } from './option-values.js';
import type { RegressionOptions } from './regression-command.js';
import type { Terminal } from './terminal.js';

/** The commands that hold results against earlier ones: `regression` and `diff`. */
export function addComparisons(program: Command, terminal: Terminal): void {
  program
    .command('regression')
    .description('run the regression scenarios and say what moved against their baselines')
    .option('--filter <TEXT>', 'only scenarios with this in their name', '')
    .option('--junit <FILE>', 'write a JUnit report')
    .option('--markdown <FILE>', 'write a summary in Markdown')
    .option('--accept <ID>', 'make the result of this scenario its baseline; may be repeated', collect, [])
    .option('--reason <TEXT>', 'why, for the acceptance log')
    .option('--threads <N>', 'parts computed at a time (default: all cores)', parseThreads)
    .option('--set <DIR>', "folder of scenarios with baselines (default: deckpace's own)")
    .addHelpText('after', regressionExamples)
    .action(async (options: RegressionOptions) =>
      (await import('./regression-command.js')).regressionCommand(options, terminal),
    );
  program
    .command('diff')
    .description('compare two result files as the regression does')
    .argument('<A>', 'earlier result.json')
    .argument('<B>', 'later result.json')
    .option('--json', 'print what moved as JSON on standard output', false)
    .addHelpText('after', diffExamples)
    .action(async (before: string, now: string, options: DiffOptions) =>
      (await import('./diff-command.js')).diffCommand(before, now, options, terminal),
    );
}

const listed = `
Changed recommendations and what was decided for a train (status, speeds,
governing check) are listed first and in full, then the largest changes, then
what drifted`;

const regressionExamples = `${listed}: per scenario ${mostListed.terminal} rows in all, ${mostListed.markdown} in Markdown,
${mostListed.junit} in JUnit.

Examples:
  deckpace regression
  deckpace regression --filter lost --markdown summary.md --junit junit.xml
  deckpace regression --accept pier-lost-simple --reason "spans deform in shear"

Exit codes:
  0  every scenario agrees with its baseline, or drifted within tolerance
  1  something changed, failed, or has no accepted baseline`;

const diffExamples = `${listed}: ${mostListed.terminal} rows in all, with --json everything.

Examples:
  deckpace diff out/before/result.json out/after/result.json
  deckpace diff before.json after.json --json

Exit codes:
  0  equal, or moved within tolerance
  1  something changed`;
