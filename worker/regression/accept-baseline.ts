import { mkdir, writeFile } from 'node:fs/promises';
import { dirname } from 'node:path';
import { sha256OfJson } from '../../scenarios/canonical-json.js';
import { appendAcceptance } from './acceptance-log.js';
import { type Baseline, baselineFormat, baselineText } from './baseline-file.js';
import { contractFieldsOf } from './contract-fields.js';
import { NothingToAcceptError } from './regression-errors.js';
import type { RegressionFolder, RegressionScenario } from './regression-set.js';
import type { ScenarioOutcome } from './run-regression.js';

/**
 * Makes the result of a run the baseline of its scenario and writes down when, by which engine and why.
 *
 * @param date day of the acceptance, YYYY-MM-DD
 * @throws NothingToAcceptError when the scenario's computation failed
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
  await mkdir(dirname(file), { recursive: true });
  await writeFile(file, text);
  await appendAcceptance(folder.acceptanceLog, {
    date,
    scenario: entry.id,
    engine: result.engine,
    baseline_sha256: sha256OfJson(JSON.parse(text)),
    reason,
  });
}
