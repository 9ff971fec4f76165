import { basename, dirname } from 'node:path';
import { sha256OfJson } from '../../scenarios/canonical-json.js';
import { writeFiles } from '../cli/write-files.js';
import { appendAcceptance, remedyOfSet } from './acceptance-log.js';
import { type Baseline, baselineFormat, baselineText } from './baseline-file.js';
import { contractFieldsOf } from './contract-fields.js';
import { NothingToAcceptError } from './regression-errors.js';
import type { RegressionFolder, RegressionScenario } from './regression-set.js';
import type { ScenarioOutcome } from './run-regression.js';

/**
 * Makes the result of a run the baseline of its scenario and writes down when, by which engine and why. A run that is killed leaves
 * baseline and log whole; a baseline without its entry fails the next run.
 *
 * @param date day of the acceptance, YYYY-MM-DD
 * @throws NothingToAcceptError when the scenario's computation failed
 * @throws UnwritableOutputError
 */
export async function acceptBaseline(
  folder: RegressionFolder,
  entry: RegressionScenario,
  outcome: ScenarioOutcome,
  { reason, date }: { readonly reason: string; readonly date: string },
): Promise<void> {
  const { result } = outcome;
  if (result === null)
    throw new NothingToAcceptError(`${entry.id} failed and cannot be accepted: ${outcome.fault}`);
  const fields = contractFieldsOf(result, entry.sweptSpeeds);
  const content: Baseline = { format: baselineFormat, engine: result.engine, ...fields };
  const text = baselineText(content);
  const file = folder.baselineOf(entry.id);
  await writeFiles(dirname(file), { [basename(file)]: text }, remedyOfSet);
  await appendAcceptance(folder.acceptanceLog, {
    date,
    scenario: entry.id,
    engine: result.engine,
    baseline_sha256: sha256OfJson(JSON.parse(text)),
    reason,
  });
}
