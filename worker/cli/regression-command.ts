import { access, constants, stat, writeFile } from 'node:fs/promises';
import { availableParallelism } from 'node:os';
import { dirname } from 'node:path';
import { engineName } from '../engine-version.js';
import { hasCode } from '../has-code.js';
import { acceptBaseline } from '../regression/accept-baseline.js';
import { junitXml } from '../regression/junit-xml.js';
import { markdownSummary } from '../regression/markdown-summary.js';
import { countText } from '../regression/movement-text.js';
import { loadRegressionSet, type RegressionFolder, regressionFolder } from '../regression/regression-set.js';
import { type RegressionRun, runRegression, type ScenarioOutcome } from '../regression/run-regression.js';
import { ResultsChangedError, UnwritableOutputError, UsageError } from './command-errors.js';
import { interruptible } from './interruption.js';
import { movementTable } from './movement-table.js';
import { type Terminal, writeOut } from './terminal.js';

export interface RegressionOptions {
  /** Only scenarios with this in their name. */
  readonly filter: string;
  readonly threads?: number;
  readonly junit?: string;
  readonly markdown?: string;
  /** Scenarios whose result becomes the baseline. */
  readonly accept: readonly string[];
  readonly reason?: string;
  /** Folder of the set; default: the project's own. */
  readonly set?: string;
}

/**
 * `deckpace regression`: runs the regression scenarios and says what moved against their baselines.
 *
 * @throws ResultsChangedError when something changed, failed or has no accepted baseline
 * @throws UsageError, UnwritableOutputError, RegressionSetError, AcceptanceLogError
 */
export async function regressionCommand(options: RegressionOptions, terminal: Terminal): Promise<void> {
  const reason = options.reason?.trim() ?? '';
  if (options.accept.length > 0 && reason === '')
    throw new UsageError('--accept needs --reason "..." : why the new result is the right one');
  if (options.accept.length === 0 && options.reason !== undefined)
    throw new UsageError('--reason only goes with --accept ID');
  const folder = regressionFolder(options.set);
  const all = await loadRegressionSet(folder, options.filter);
  const unknown = options.accept.filter((id) => !all.some((entry) => entry.id === id));
  if (unknown.length > 0)
    throw new UsageError(
      `there is no regression scenario ${unknown.join(', ')}; there are: ${all.map(({ id }) => id).join(', ')}`,
    );
  for (const file of [options.junit, options.markdown]) await refuseUnwritable(file);
  const set = options.accept.length === 0 ? all : all.filter(({ id }) => options.accept.includes(id));
  const { stderr, stdout } = terminal;
  let done = 0;
  const run = await interruptible((signal) =>
    runRegression(set, {
      threads: options.threads ?? availableParallelism(),
      signal,
      onOutcome: ({ id, verdict }) => {
        done++;
        if (stderr.isTTY) stderr.write(`\r\x1b[2K${done}/${set.length}  ${id}: ${verdict}`);
      },
    }),
  );
  if (stderr.isTTY) stderr.write('\r\x1b[2K');
  await writeOut(stdout, runText(run, terminal));
  await writeReport(options.junit, () => junitXml(run));
  await writeReport(options.markdown, () => markdownSummary(run, engineName()));
  if (options.accept.length > 0) return accept(folder, set, run, reason, terminal);
  if (!run.passed) throw new ResultsChangedError(sentence(run.outcomes));
}

async function accept(
  folder: RegressionFolder,
  set: Awaited<ReturnType<typeof loadRegressionSet>>,
  { outcomes }: RegressionRun,
  reason: string,
  { stdout }: Terminal,
): Promise<void> {
  const date = new Date().toISOString().slice(0, 10);
  for (const [index, entry] of set.entries()) {
    await acceptBaseline(folder, entry, outcomes[index]!, { reason, date });
    await writeOut(stdout, `accepted ${entry.id}: ${folder.baselineOf(entry.id)}\n`);
  }
}

function runText({ outcomes, seconds }: RegressionRun, terminal: Terminal): string {
  const lines: string[] = [];
  for (const outcome of outcomes) {
    const { id, verdict, fault, movements } = outcome;
    const detail = verdict === 'unchanged' ? '' : `  ${fault ?? countText(movements)}`;
    lines.push(`${verdict.padEnd(12)}${id}${detail}`);
    if (movements.length > 0) lines.push(movementTable(movements, terminal.stdout));
  }
  lines.push(`${outcomes.length} scenarios in ${seconds.toFixed(1)} s`);
  return `${lines.join('\n')}\n`;
}

function sentence(outcomes: readonly ScenarioOutcome[]): string {
  const bad = outcomes.filter(({ verdict }) => verdict !== 'unchanged' && verdict !== 'drift');
  return (
    `${bad.length} of ${outcomes.length} regression scenarios do not agree with their baselines: ${bad.map(({ id }) => id).join(', ')}. ` +
    'Where the new result is the right one, accept it: --accept ID --reason "..."'
  );
}

async function writeReport(file: string | undefined, text: () => string): Promise<void> {
  if (file === undefined) return;
  try {
    await writeFile(file, text());
  } catch (error) {
    throw unwritable(file, error);
  }
}

/** Before the run, which takes minutes: its report must have somewhere to go. Nothing is written, and no pipe is opened, by asking. */
async function refuseUnwritable(file: string | undefined): Promise<void> {
  if (file === undefined) return;
  try {
    const about = await stat(file).catch((error: unknown) => {
      if (hasCode(error, 'ENOENT')) return null;
      throw error;
    });
    if (about?.isDirectory()) throw new Error('it is a directory');
    await access(about ? file : dirname(file), constants.W_OK);
  } catch (error) {
    throw unwritable(file, error);
  }
}

function unwritable(file: string, cause: unknown): UnwritableOutputError {
  const detail = cause instanceof Error ? cause.message : String(cause);
  return new UnwritableOutputError(`${file} cannot be written: ${detail}`, { cause });
}
