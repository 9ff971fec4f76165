import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { readScenario } from '../../scenarios/read-scenario.js';
import type { Scenario } from '../../scenarios/scenario.js';
import { speedGrid } from '../../scenarios/translation/speeds.js';
import { packageRoot } from '../compiled-file.js';
import { latestAcceptance, readAcceptances } from './acceptance-log.js';
import { type BaselineReading, readBaseline } from './baseline-file.js';
import { RegressionSetError } from './regression-errors.js';

/** One regression scenario with what is stored of it. */
export interface RegressionScenario {
  /** Name of the file without its ending. */
  readonly id: string;
  readonly scenario: Scenario;
  readonly sha256: string;
  /** Speeds asked for, km/h. */
  readonly sweptSpeeds: readonly number[];
  readonly baseline: BaselineReading;
}

/** Where the files of a set lie. */
export interface RegressionFolder {
  readonly path: string;
  readonly baselineOf: (id: string) => string;
  readonly acceptanceLog: string;
}

/** @param path default: the project's own set, scenarios/regression */
export function regressionFolder(path = join(packageRoot(), 'scenarios', 'regression')): RegressionFolder {
  return {
    path,
    baselineOf: (id) => join(path, 'baselines', `${id}.json`),
    acceptanceLog: join(path, 'acceptances.jsonl'),
  };
}

/**
 * Loads the scenarios whose name contains `filter` (all of them when it is empty), by name, each with its baseline. A baseline
 * that its latest entry in the acceptance log does not vouch for counts as none.
 *
 * @throws RegressionSetError | AcceptanceLogError
 */
export async function loadRegressionSet(
  folder: RegressionFolder,
  filter: string,
): Promise<readonly RegressionScenario[]> {
  const names = (await readdir(folder.path)).filter((name) => name.endsWith('.json')).sort();
  const ids = names.map((name) => name.slice(0, -'.json'.length)).filter((id) => id.includes(filter));
  if (ids.length === 0)
    throw new RegressionSetError(`no scenario in ${folder.path} has ${JSON.stringify(filter)} in its name`);
  const log = await readAcceptances(folder.acceptanceLog);
  return Promise.all(
    ids.map(async (id) => {
      const reading = readScenario(await readFile(join(folder.path, `${id}.json`)));
      if (!reading.ok)
        throw new RegressionSetError(
          `${id}.json is no valid scenario: ${reading.faults.map((fault) => fault.message).join('; ')}`,
        );
      const { scenario, sha256 } = reading;
      const stored = await readBaseline(folder.baselineOf(id));
      const vouched = latestAcceptance(log, id);
      const baseline: BaselineReading =
        stored.ok && vouched?.baseline_sha256 !== stored.sha256
          ? {
              ok: false,
              why: `its baseline was not accepted: the acceptance log has ${vouched === null ? 'no entry for it' : `another one, of ${vouched.date}`}`,
            }
          : stored;
      return { id, scenario, sha256, sweptSpeeds: speedGrid(scenario), baseline };
    }),
  );
}
