import { describe, expect, it } from 'vitest';
import { loadModelIds } from '../../../scenarios/library/load-model-ids.js';
import { runCommandLine } from '../../../worker/cli/program.js';
import { recordedTerminal } from './recorded-terminal.js';

async function library(...words: readonly string[]): Promise<string> {
  const terminal = recordedTerminal();
  expect(await runCommandLine(['library', ...words], terminal)).toBe(0);
  expect(terminal.errors()).toBe('');
  return terminal.output();
}

describe('deckpace library', () => {
  it('lists every load model with its source', async () => {
    const entries: { id: string; source: string }[] = JSON.parse(await library('trains', '--json'));
    expect(entries.map(({ id }) => id)).toEqual([...loadModelIds]);
    const text = await library('trains');
    for (const { id, source } of entries) {
      expect(source).toMatch(/EN \d+|common practice/);
      expect(text).toContain(id);
      expect(text).toContain(source);
    }
  });

  it('lists every limit of every set with its source', async () => {
    const sets: { id: string; limits: { check: string; source: string }[] }[] = JSON.parse(
      await library('limits', '--json'),
    );
    const text = await library('limits');
    expect(sets.map(({ id }) => id)).toContain('en-1990-a2');
    for (const { limits } of sets)
      for (const { check, source } of limits) {
        expect(text).toContain(check);
        expect(text).toContain(source);
      }
    expect(text).toMatch(/joint-step +safety +3 mm to 160 km\/h; 2 mm/);
    expect(text).toMatch(/deck-deflection +safety +L\/600/);
  });

  it.each(['trains', 'limits', 'track', 'vehicles'])(
    'keeps %s within a terminal of 80 columns',
    async (topic) => {
      const terminal = recordedTerminal({ columns: 80 });
      expect(await runCommandLine(['library', topic], terminal)).toBe(0);
      const lines = terminal.output().split('\n');
      expect(lines.filter((line) => line.length > 80)).toEqual([]);
      expect(
        lines.filter(
          (line, index) => /\d$/.test(line) && /^ +(?:km\/h|mm|kN)\b/.test(lines[index + 1] ?? ''),
        ),
      ).toEqual([]);
      const words = (text: string) => text.replace(/\s+/g, ' ');
      expect(words(terminal.output())).toBe(words(await library(topic)));
    },
  );

  it('writes units as they are printed', async () => {
    expect(await library('limits')).toMatch(/deck-acceleration +safety +5 m\/s²/);
  });

  it('gives track forms that a scenario can take as they are', async () => {
    const forms: { id: string; track: object; source: string }[] = JSON.parse(
      await library('track', '--json'),
    );
    expect(forms.length).toBeGreaterThanOrEqual(3);
    for (const { id, track } of forms) {
      expect(Object.keys(track)).toContain('fastening');
      expect(await library('track')).toContain(id);
    }
  });
});
