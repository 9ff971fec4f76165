import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { sha256OfJson } from '../../scenarios/canonical-json.js';
import type { Result } from '../../scenarios/result.js';
import { createProgressReporter } from './progress-line.js';
import { readScenarioFiles, type ScenarioFile } from './read-scenario-file.js';
import { runAssessment } from './run-assessment.js';
import { refuseSameNames, resultDirectory, scenarioName } from './scenario-name.js';
import { isWhole, markSelection, type Selection, selectWork } from './select-work.js';
import { type Terminal, wantsColour, widthOf, writeOut } from './terminal.js';
import { proveWritable, writeFiles } from './write-files.js';

export interface AssessOptions {
  /** Directory under which each scenario gets its own, a selection another; absent: `out`, or nothing written with `json`. */
  readonly out?: string;
  /** Only result.json, on standard output. */
  readonly json: boolean;
  /** Absent: as many as the machine can run at once. */
  readonly threads?: number;
  readonly case: readonly string[];
  readonly train: readonly string[];
}

/**
 * `deckpace assess`: permitted speeds of one or more scenario files. All are read and validated before the first is run.
 *
 * @throws InvalidScenarioError, UnwritableOutputError, UsageError, InterruptedError
 */
export async function assessCommand(
  files: readonly string[],
  options: AssessOptions,
  terminal: Terminal,
): Promise<void> {
  const selection: Selection = { cases: options.case, trains: options.train };
  const out = options.out ?? (options.json ? null : 'out');
  const directoryOf = (file: string, within: string) =>
    join(within, resultDirectory(file, isWhole(selection)));
  if (out !== null) refuseSameNames(files);
  const scenarios = (await readScenarioFiles(files)).map((read) => selectedFrom(read, selection));
  if (out !== null) for (const file of files) await proveWritable(directoryOf(file, out));
  for (const scenario of scenarios) {
    const result = await assess(scenario, selection, options, terminal);
    const report = out === null ? null : await writeResult(result, scenario, directoryOf(scenario.file, out));
    await print(result, report, options, terminal);
  }
}

async function assess(
  { file, scenario, sha256 }: ScenarioFile,
  selection: Selection,
  options: AssessOptions,
  terminal: Terminal,
): Promise<Result> {
  const threads = options.threads ?? availableParallelism();
  const result = await runAssessment(scenario, {
    scenarioSha256: sha256,
    threads,
    createProgress: (parts) =>
      createProgressReporter({ title: scenarioName(file), parts, stream: terminal.stderr }),
  });
  return markSelection(result, selection);
}

/** The file with only the selected work; whole and as it was given when nothing is selected. */
function selectedFrom(read: ScenarioFile, selection: Selection): ScenarioFile {
  const scenario = selectWork(read.scenario, selection, read.file);
  return isWhole(selection)
    ? read
    : { ...read, scenario, document: scenario, sha256: sha256OfJson(scenario) };
}

/** Writes the three files and returns the path of the report. */
async function writeResult(result: Result, { document }: ScenarioFile, directory: string): Promise<string> {
  const { renderOutputs } = await import('../assessments/render-outputs.js');
  const { result: json, sweeps, report } = renderOutputs(result, document);
  const paths = await writeFiles(directory, {
    'result.json': json,
    'sweeps.csv': sweeps,
    'report.html': report,
  });
  return paths.at(-1)!;
}

async function print(
  result: Result,
  report: string | null,
  options: AssessOptions,
  { stdout, environment }: Terminal,
): Promise<void> {
  if (options.json) {
    const { serialiseResult } = await import('../report/result-json.js');
    await writeOut(stdout, serialiseResult(result));
    return;
  }
  const { renderSummary } = await import('../report/summary-table.js');
  const width = widthOf(stdout);
  const summary = renderSummary(result, { width, colour: wantsColour(stdout, environment) });
  await writeOut(stdout, `${summary.trimEnd()}\n\n${report}\n`);
}
