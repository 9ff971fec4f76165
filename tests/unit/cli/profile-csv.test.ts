import { describe, expect, it } from 'vitest';
import { UnreadableFileError } from '../../../worker/cli/command-errors.js';
import { readScenarioFile } from '../../../worker/cli/read-scenario-file.js';
import { minimalScenario } from '../scenarios/minimal-scenario.js';
import { scratchDirectory } from './scratch-directory.js';

const scratch = scratchDirectory();
const levels = Array.from({ length: 321 }, (_, k) => Number((2 * Math.sin(0.3 * k)).toFixed(3)));
const lines = levels.map((level, k) => `${-10 + 0.25 * k},${level}`);

async function read(name: string, csv: string) {
  scratch.file(`${name}.csv`, csv);
  const document = { ...minimalScenario(), track_irregularity: { profile_csv: `${name}.csv` } };
  return readScenarioFile(scratch.file(`${name}.json`, document));
}

describe('a rail profile in a file beside the scenario', () => {
  it('takes the place of its name, with the hash of a scenario that holds the samples', async () => {
    const reading = await read('plain', lines.join('\n'));
    const profile = { from_m: -10, step_m: 0.25, level_mm: levels };
    const inline = await readScenarioFile(
      scratch.file('inline.json', { ...minimalScenario(), track_irregularity: { profile } }),
    );
    if (!reading.ok || !inline.ok) throw new Error('both are valid');
    expect(reading.scenario).toEqual(inline.scenario);
    expect(reading.sha256).toBe(inline.sha256);
    expect(reading.document).toEqual(inline.document);
  });

  it('may have a heading, semicolons and line ends of any kind', async () => {
    const text = ['x_m;level_mm', ...lines.map((line) => line.replace(',', '; ')), ''].join('\r\n');
    const reading = await read('headed', text);
    expect(reading.ok && reading.scenario.track_irregularity?.profile?.level_mm).toEqual(levels);
  });

  it.each([
    ['words', [...lines.slice(0, 20), '1,smooth', ...lines.slice(20)], /line 21 of words.csv/],
    ['columns', [...lines, '71,1,2'], /line 322/],
    ['uneven', lines.toSpliced(40, 1), /equal steps/],
    ['short', lines.slice(0, 5), /5 points/],
    ['backwards', [...lines].reverse(), /ascending/],
  ])('is refused with the place named: %s', async (name, text, words) => {
    const reading = await read(name, text.join('\n'));
    if (reading.ok) throw new Error('a file with a fault was read');
    expect(reading.faults).toHaveLength(1);
    expect(reading.faults[0]?.pointer).toBe('/track_irregularity/profile_csv');
    expect(reading.faults[0]?.message).toMatch(words);
  });

  it('must cover the deck', async () => {
    const reading = await read('half', lines.slice(0, 100).join('\n'));
    expect(!reading.ok && reading.faults.map(({ pointer }) => pointer)).toEqual([
      '/track_irregularity/profile',
    ]);
  });

  it('must be there', async () => {
    const document = { ...minimalScenario(), track_irregularity: { profile_csv: 'nowhere.csv' } };
    await expect(readScenarioFile(scratch.file('lonely.json', document))).rejects.toThrow(
      UnreadableFileError,
    );
  });
});
