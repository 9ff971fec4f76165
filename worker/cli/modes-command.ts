import { join } from 'node:path';
import { type CaseModes, modesOfCase } from '../modes-of-case.js';
import { readScenarioFiles, type ScenarioFile } from './read-scenario-file.js';
import { scenarioName } from './scenario-name.js';
import { selectWork } from './select-work.js';
import { type Terminal, writeOut } from './terminal.js';
import { proveWritable, writeFiles } from './write-files.js';

export interface ModesOptions {
  /** Directory under which the scenario gets its own; absent: `out`, or no picture with `json`. */
  readonly out?: string;
  readonly json: boolean;
  /** Damage case whose deck is meant. */
  readonly case: string;
}

/**
 * `deckpace modes`: natural frequencies, participation and mode shapes of the deck in one damage case.
 * A deck that does not stand has no modes: that is a result, said in words.
 *
 * @throws InvalidScenarioError, UnwritableOutputError, UsageError
 */
export async function modesCommand(file: string, options: ModesOptions, { stdout }: Terminal): Promise<void> {
  const [read] = await readScenarioFiles([file]);
  const scenario = selectWork(read!.scenario, { cases: [options.case], trains: [] }, file);
  const out = options.out ?? (options.json ? null : 'out');
  const directory = out === null ? null : join(out, scenarioName(file));
  if (directory !== null) await proveWritable(directory);
  const modes = modesOfCase(scenario, options.case);
  if (options.json) await writeOut(stdout, `${JSON.stringify(modes, null, 2)}\n`);
  else await writeOut(stdout, await modesText(modes));
  if (directory === null || !modes.stable) return;
  const picture = await writePicture(modes, scenario, directory);
  if (!options.json) await writeOut(stdout, `\n${picture}\n`);
}

async function modesText(modes: CaseModes): Promise<string> {
  if (!modes.stable) return `${modes.title}\n${modes.damage_case}: ${modes.mechanism}\n`;
  const { renderModesTable } = await import('../report/modes-table.js');
  return `${modes.title}\n${renderModesTable(tableOf(modes))}`;
}

async function writePicture(
  modes: CaseModes,
  scenario: ScenarioFile['scenario'],
  directory: string,
): Promise<string> {
  const [{ renderModesSvg }, { lostSupports, readScenarioFacts }] = await Promise.all([
    import('../report/modes-svg.js'),
    import('../report/scenario-facts.js'),
  ]);
  const facts = readScenarioFacts(scenario);
  const marks = {
    supports: facts.supports,
    lost: lostSupports(facts.effects.get(modes.damage_case) ?? []),
  };
  const [path] = await writeFiles(directory, {
    'modes.svg': renderModesSvg(modes.title, tableOf(modes), marks),
  });
  return path!;
}

function tableOf({ damage_case, modes }: CaseModes) {
  return {
    case: damage_case,
    frequencies_Hz: modes.map(({ frequency_Hz }) => frequency_Hz),
    participation: modes.map(({ effective_mass_percent }) => effective_mass_percent / 100),
    shapes: modes.map(({ x_m, deck }) => ({ x_m, deck })),
  };
}
