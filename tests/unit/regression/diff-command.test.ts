import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readScenario } from '../../../scenarios/read-scenario.js';
import { runCommandLine } from '../../../worker/cli/program.js';
import { markSelection } from '../../../worker/cli/select-work.js';
import { gatherResult, planAssessment, runPart } from '../../../worker/engine.js';
import { regressionFolder } from '../../../worker/regression/regression-set.js';
import { serialiseResult } from '../../../worker/report/result-json.js';
import { recordedTerminal } from '../cli/recorded-terminal.js';
import { scratchDirectory } from '../cli/scratch-directory.js';

const scratch = scratchDirectory();

const reading = readScenario(readFileSync(join(regressionFolder().path, 'released-mechanism.json')));
if (!reading.ok) throw new Error('the scenario of this test does not validate');
const { scenario, sha256 } = reading;
const result = gatherResult(
  scenario,
  planAssessment(scenario).map((part) => runPart(scenario, part)),
  sha256,
);
const before = scratch.file('before.json', serialiseResult(result));

async function diff(...words: string[]) {
  const terminal = recordedTerminal();
  const code = await runCommandLine(['diff', ...words], terminal);
  return { code, output: terminal.output(), errors: terminal.errors() };
}

describe('deckpace diff', () => {
  it('says so when nothing moved', async () => {
    const { code, output } = await diff(before, before);
    expect(code).toBe(0);
    expect(output).toBe('nothing moved\n');
  });

  it('tells drift (0) from change (1)', async () => {
    const scaled = (factor: number) =>
      scratch.file(
        `scaled-${factor}.json`,
        serialiseResult({
          ...result,
          cases: result.cases.map((one) => ({
            ...one,
            frequencies_Hz: one.frequencies_Hz.map((frequency) => frequency * factor),
          })),
        }),
      );
    const drift = await diff(before, scaled(1.00002));
    expect(drift.code).toBe(0);
    expect(drift.output).toContain('drifted within tolerance');
    const change = await diff(before, scaled(1.001), '--json');
    expect(change.code).toBe(1);
    const movements: unknown = JSON.parse(change.output);
    expect(movements).toContainEqual(
      expect.objectContaining({ quantity: 'frequency 1, Hz', verdict: 'change', family: 'frequency_Hz' }),
    );
  });

  it('says that one of two results is a selection only', async () => {
    const selected = markSelection(result, { cases: [], trains: ['some-train'] });
    const { code, output } = await diff(before, scratch.file('selected.json', serialiseResult(selected)));
    expect(code).toBe(1);
    expect(output).toMatch(/selection +│ none +│ trains /);
  });

  it.each([
    ['a newer version', { ...result, format: 'deckpace/result@2' }, 'newer deckpace'],
    ['another format', { ...result, format: 'deckpace/scenario@1' }, 'no result file'],
    ['a missing field', { ...result, cases: [{ damage_case: 'intact' }] }, 'does not have its form'],
    ['something that is not JSON', 'speed: 100', 'is not JSON'],
  ])('refuses %s with a sentence', async (name, content, sentence) => {
    const { code, errors } = await diff(before, scratch.file(`${name}.json`, content));
    expect(code).toBe(2);
    expect(errors).toContain(sentence);
  });

  it('refuses a file that is not there', async () => {
    expect(await diff(before, join(scratch.path, 'nowhere.json'))).toMatchObject({ code: 2 });
  });
});
