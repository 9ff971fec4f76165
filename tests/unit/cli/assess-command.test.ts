import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { result as resultSchema } from '../../../scenarios/result.js';
import { runCommandLine } from '../../../worker/cli/program.js';
import { minimalScenario } from '../scenarios/minimal-scenario.js';
import { recordedTerminal } from './recorded-terminal.js';
import { scratchDirectory } from './scratch-directory.js';

const scratch = scratchDirectory();
const scenario = {
  ...minimalScenario(),
  line: { speed_kmh: 80 },
  speeds: { from_kmh: 60, to_kmh: 90, step_kmh: 30 },
  trains: [
    { id: 'railcar', class: 'passenger', axles: [0, 2.5, 15, 17.5].map((at_m) => ({ at_m, load_kN: 140 })) },
    { load_model: 'D4', wagons: 1 },
  ],
  damage_cases: [
    { id: 'P1-settled', effects: [{ kind: 'support-settlement', support: 'P1', settlement_mm: 5 }] },
    { id: 'A2-lost', effects: [{ kind: 'bearing-loss', support: 'A2' }] },
  ],
};
const file = scratch.file('brook.json', scenario);

/** Runs `assess` and returns what a caller sees. */
async function assess(...words: readonly string[]) {
  const terminal = recordedTerminal();
  const code = await runCommandLine(['assess', ...words], terminal);
  return { code, output: terminal.output(), errors: terminal.errors() };
}

function outDirectory(name: string): string {
  return join(scratch.path, name);
}

const wholeOut = outDirectory('whole');
let whole: Awaited<ReturnType<typeof assess>>;
beforeAll(async () => {
  whole = await assess(file, '--out', wholeOut, '--threads', '1');
});

/** One of the files that the run above has written. */
function written(name: string): string {
  return readFileSync(join(wholeOut, 'brook', name), 'utf8');
}

function writtenResult() {
  return resultSchema.parse(JSON.parse(written('result.json')));
}

describe('deckpace assess', () => {
  it('writes result, report and sweeps, prints the table, and ends with the path of the report', () => {
    const { code, output, errors } = whole;
    expect(errors).toMatch(/^brook: 1 of \d+: intact: /);
    expect(code).toBe(0);
    expect(output.trimEnd().split('\n').at(-1)).toBe(join(wholeOut, 'brook', 'report.html'));
    for (const words of ['intact', 'P1-settled', 'A2-lost', 'passenger', 'freight'])
      expect(output).toContain(words);
    expect(written('report.html')).toMatch(/^<!doctype html>/);
    expect(written('sweeps.csv')).toMatch(/^damage_case,train,class,speed_kmh,/);
    expect(writtenResult().cases.map(({ damage_case }) => damage_case)).toEqual([
      'intact',
      'P1-settled',
      'A2-lost',
    ]);
  });

  it('ends with 0 when a line is closed or undetermined: these are results', () => {
    const statusOf = (id: string) =>
      writtenResult()
        .recommendations.filter(({ damage_case }) => damage_case === id)
        .map(({ status }) => status);
    expect(statusOf('A2-lost')).toEqual(['closed', 'closed']);
    expect(statusOf('P1-settled')).toEqual(['undetermined', 'undetermined']);
    expect(whole.code).toBe(0);
  });

  it('gives the same bytes whatever the number of threads, as JSON and as a file', async () => {
    const two = await assess(file, '--json', '--threads', '2');
    expect(two.output).toBe(written('result.json'));
    expect(two.code).toBe(0);
  });

  it('prints the results of several files one after the other, in the order given, as its help says', async () => {
    const other = scratch.file('beck.json', { ...scenario, title: 'Beck' });
    const selection = ['--case', 'intact', '--train', 'D4', '--json', '--threads', '1'];
    const alone = [await assess(other, ...selection), await assess(file, ...selection)];
    const both = await assess(other, file, ...selection);
    expect(both.output).toBe(alone.map(({ output }) => output).join(''));
    expect((await assess('--help')).output.replaceAll(/\s+/g, ' ')).toContain(
      'of several files one JSON document after the other',
    );
  });

  it('writes no files with --json alone', async () => {
    const before = existsSync('out/brook');
    expect((await assess(file, '--json', '--case', 'intact', '--train', 'D4', '--threads', '1')).code).toBe(
      0,
    );
    expect(before).toBe(false);
    expect(existsSync('out/brook')).toBe(false);
  });

  it('assesses a selection only, says so in the cautions, and gives it a hash of its own', async () => {
    const part = resultSchema.parse(
      JSON.parse(
        (await assess(file, '--json', '--case', 'A2-lost', '--train', 'D4', '--threads', '1')).output,
      ),
    );
    expect(part.cases.map(({ damage_case }) => damage_case)).toEqual(['intact', 'A2-lost']);
    expect(part.cases[0]!.trains.map(({ train }) => train)).toEqual(['D4']);
    expect(part.cautions[0]).toMatch(/Only a selection .*A2-lost.*D4/);
    expect(part.scenario_sha256).not.toBe(writtenResult().scenario_sha256);
    expect(writtenResult().cautions.some((caution) => caution.includes('selection'))).toBe(false);
  });

  it('shows a selection as one, in a directory of its own: the whole result stays as it was', async () => {
    const before = written('result.json');
    const { output } = await assess(file, '--train', 'D4', '--out', wholeOut, '--threads', '1');
    const lines = output.trimEnd().split('\n');
    const report = join(wholeOut, 'brook--selection', 'report.html');
    expect(lines.at(-1)).toBe(report);
    expect(lines.join(' ')).toMatch(/Only a selection of the scenario was assessed \(trains D4\)/);
    const page = readFileSync(report, 'utf8');
    expect(page.indexOf('Only a selection')).toBeLessThan(page.indexOf('<h2 id="recommendation">'));
    expect(page).toMatch(/<title>[^<]* of a selection<\/title>/);
    expect(written('result.json')).toBe(before);
    expect(whole.output).not.toContain('selection');
    expect(written('report.html')).not.toContain('selection');
  });

  it('states the hash that validate gives for the file', async () => {
    const terminal = recordedTerminal();
    await runCommandLine(['validate', file, '--json'], terminal);
    expect(writtenResult().scenario_sha256).toBe(JSON.parse(terminal.output())[0].scenario_sha256);
  });

  it('runs nothing when one of several files has a fault', async () => {
    const faulty = scratch.file('faulty.json', { ...scenario, trains: [] });
    const out = outDirectory('none');
    const { code, errors, output } = await assess(file, faulty, '--out', out);
    expect(code).toBe(2);
    expect(errors).toMatch(/faulty\.json: 1 fault\n {2}\/trains: /);
    expect(output).toBe('');
    expect(existsSync(out)).toBe(false);
  });

  it('refuses an output directory that cannot be written before it computes anything', async () => {
    const inTheWay = outDirectory('in-the-way');
    writeFileSync(inTheWay, '');
    const { code, errors } = await assess(file, '--out', inTheWay, '--threads', '1');
    expect(code).toBe(2);
    expect(errors).toMatch(/^deckpace: .*in-the-way.* cannot be written: .*--out DIR\n$/);
  });

  it('refuses an unknown case or train and lists those there are', async () => {
    const unknownCase = await assess(file, '--case', 'P9');
    expect(unknownCase.errors).toMatch(/no damage case P9; it has: intact, P1-settled, A2-lost/);
    const unknownTrain = await assess(file, '--train', 'tram');
    expect(unknownTrain.errors).toMatch(/no train tram; it has: railcar, D4/);
    expect([unknownCase.code, unknownTrain.code]).toEqual([2, 2]);
  });
});
