import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { runCommandLine } from '../../../worker/cli/program.js';
import { engineName } from '../../../worker/engine-version.js';
import { recordedTerminal } from '../cli/recorded-terminal.js';
import { smallSet } from './small-set.js';

const set = smallSet();

async function regression(...words: string[]) {
  const terminal = recordedTerminal();
  const code = await runCommandLine(['regression', '--set', set.path, '--threads', '1', ...words], terminal);
  return { code, output: terminal.output(), errors: terminal.errors() };
}

const accept = () => regression('--accept', set.id, '--reason', 'first of its kind');
const baselineText = () => readFileSync(set.baselineOf(set.id), 'utf8');
const logLines = () => readFileSync(set.acceptanceLog, 'utf8').trim().split('\n');

describe('deckpace regression', () => {
  it('fails a scenario without a baseline', async () => {
    const { code, output, errors } = await regression();
    expect(code).toBe(1);
    expect(output).toContain('no stored baseline');
    expect(errors).toContain('1 of 1 regression scenarios');
  });

  it('refuses to accept without a reason, or what does not exist', async () => {
    expect((await regression('--accept', set.id)).code).toBe(2);
    expect((await regression('--accept', set.id, '--reason', '  ')).code).toBe(2);
    expect((await regression('--accept', 'nothing', '--reason', 'because')).code).toBe(2);
    expect((await regression('--filter', 'nothing')).code).toBe(2);
  });

  it.each(['--junit', '--markdown'])(
    'refuses a %s that has nowhere to go before it runs anything',
    async (option) => {
      for (const file of [join(set.path, 'absent', 'report'), set.path]) {
        const { code, output, errors } = await regression(option, file);
        expect({ code, output }).toEqual({ code: 2, output: '' });
        expect(errors).toContain(`${file} cannot be written: `);
      }
    },
  );

  it('writes an accepted baseline with a dated entry that names the engine, and then agrees', async () => {
    expect((await accept()).code).toBe(0);
    const entry: unknown = JSON.parse(logLines().at(-1)!);
    expect(entry).toMatchObject({
      scenario: set.id,
      engine: engineName(),
      reason: 'first of its kind',
      date: expect.stringMatching(/^\d{4}-\d\d-\d\d$/),
    });
    const { code, output } = await regression();
    expect(code).toBe(0);
    expect(output).toContain(`unchanged   ${set.id}`);
  });

  it('fails a baseline that was edited by hand, and one whose entry is gone', async () => {
    await accept();
    const [before, log] = [baselineText(), readFileSync(set.acceptanceLog, 'utf8')];
    writeFileSync(set.baselineOf(set.id), before.replace('"line_speed_kmh": 120', '"line_speed_kmh": 130'));
    const edited = await regression();
    expect(edited.code).toBe(1);
    expect(edited.output).toContain('was not accepted');
    writeFileSync(set.baselineOf(set.id), before);
    rmSync(set.acceptanceLog);
    const unlogged = await regression();
    expect(unlogged.code).toBe(1);
    expect(unlogged.output).toContain('no entry for it');
    writeFileSync(set.acceptanceLog, log);
    expect((await regression()).code).toBe(0);
  });

  it('leaves baseline and log as they were where the new one cannot be written beside it', async () => {
    await accept();
    for (const file of [set.baselineOf(set.id), set.acceptanceLog]) {
      const before = readFileSync(file, 'utf8');
      const inTheWay = `${file}.${process.pid}.tmp`;
      mkdirSync(inTheWay);
      const { code, errors } = await accept();
      rmSync(inTheWay, { recursive: true });
      expect(code).toBe(2);
      expect(errors).toMatch(/cannot be written: .*--set DIR/);
      expect(readFileSync(file, 'utf8')).toBe(before);
    }
    expect((await regression()).code).toBe(0);
  });

  it('shows what moved, writes both reports and exits 1 when a scenario changed', async () => {
    await accept();
    const file = join(set.path, `${set.id}.json`);
    const text = readFileSync(file, 'utf8');
    writeFileSync(file, text.replaceAll('16000', '16800'));
    const [junit, markdown] = [join(set.path, 'junit.xml'), join(set.path, 'summary.md')];
    const { code, output } = await regression('--junit', junit, '--markdown', markdown);
    writeFileSync(file, text);
    expect(code).toBe(1);
    expect(output).toContain('max_sagging_kNm');
    expect(readFileSync(junit, 'utf8')).toContain('<failure message=');
    expect(readFileSync(markdown, 'utf8')).toContain('1 of 1 scenarios do not agree');
  });

  it('names the broken line of an acceptance log', async () => {
    await accept();
    const log = readFileSync(set.acceptanceLog, 'utf8');
    writeFileSync(set.acceptanceLog, `${log}{"date":"yesterday"}\n`);
    const { code, errors } = await regression();
    writeFileSync(set.acceptanceLog, log);
    expect(code).toBe(2);
    expect(errors).toContain(`line ${log.trim().split('\n').length + 1} is no entry`);
  });
});
