import { stripVTControlCharacters } from 'node:util';
import { describe, expect, it } from 'vitest';
import { renderModesSvg } from '../../../worker/report/modes-svg.js';
import { renderModesTable } from '../../../worker/report/modes-table.js';
import { renderSummary } from '../../../worker/report/summary-table.js';
import { exampleResult } from './example-result.js';
import { parsePage } from './parse-page.js';

const words = (text: string): string => text.replace(/\s+/g, ' ');

describe('the summary on a terminal', () => {
  it.each([40, 60, 84, 100, 160])('keeps within %i columns', (width) => {
    const lines = renderSummary(exampleResult(), { width, colour: false }).split('\n');
    expect(lines.filter((line) => line.length > width)).toEqual([]);
  });

  it.each([60, 120])('says case, class, status, speed, check, train and reason at %i columns', (width) => {
    const text = words(renderSummary(exampleResult(), { width, colour: false }));
    for (const word of [
      'P2-softened',
      'freight',
      'Restricted',
      '150 km/h',
      'keep closed',
      'no crossing',
      'Undetermined',
      'Line speed',
      'comfort 140 km/h',
      'Equilibrium',
      'ore-train',
    ])
      expect(text).toContain(word);
  });

  it('gives every reason in full', () => {
    const text = words(renderSummary(exampleResult(), { width: 70, colour: false }));
    for (const { reason } of exampleResult().recommendations) expect(text).toContain(reason);
  });

  it.each([60, 84, 120, 121])('ends no line between a number and its unit at %i columns', (width) => {
    const result = exampleResult();
    result.recommendations.length = 2;
    const sentence = 'At 58 % and 80.7 km/h the track 124.0 m from support A1, km 12.464, has 26 mm. ';
    for (const row of result.recommendations) row.reason = sentence.repeat(4);
    const lines = renderSummary(result, { width, colour: false }).split('\n');
    expect(lines.filter((line) => /\b(\d+|km)$/.test(line))).toEqual([]);
    expect(lines.join('')).not.toContain('\u00a0');
  });

  it.each([60, 120])('says for which directions the speeds hold at %i columns', (width) => {
    const text = words(renderSummary(exampleResult(), { width, colour: false }));
    expect(text).toContain(exampleResult().speeds_hold);
  });

  it.each([60, 120])('says for which stretch of line they hold at %i columns', (width) => {
    const result = exampleResult();
    for (const row of result.recommendations)
      Object.assign(row, { from_chainage_km: 12.34, to_chainage_km: 12.556 });
    const said = () => words(renderSummary(result, { width, colour: false }));
    expect(said()).toContain('Stretch of line: km 12.340 to km 12.556.');
    const [first] = result.recommendations;
    for (const row of result.recommendations) {
      if (row.damage_case === first!.damage_case) row.to_chainage_km = 12.6;
    }
    expect(said()).toContain(`Stretch of line of ${first!.damage_case}: km 12.340 to km 12.600.`);
  });

  it.each([60, 120])('cuts off no name of sixty letters at %i columns', (width) => {
    const result = exampleResult();
    const [train, support] = ['t', 's'].map((letter) => `${letter.repeat(59)}9`);
    for (const row of result.recommendations) {
      row.governing_train = train!;
      row.reason = `Load on ${support} fails.`;
    }
    const text = renderSummary(result, { width, colour: false });
    expect(text).not.toContain('…');
    const count = (letter: string) => text.split('\n').join('').split(letter).length - 1;
    const rows = result.recommendations.filter(({ governing }) => governing !== null).length;
    expect(count('9')).toBeGreaterThanOrEqual(rows + result.recommendations.length);
  });

  it('takes no longer for long reasons than their lines ask for', () => {
    const time = (times: number) => {
      const result = exampleResult();
      for (const row of result.recommendations) row.reason = 'A sentence of the reason. '.repeat(times);
      const start = performance.now();
      renderSummary(result, { width: 120, colour: false });
      return performance.now() - start;
    };
    const shortest = (times: number) => Math.min(...Array.from({ length: 3 }, () => time(times)));
    // Six times the lines; measured anew for each of them, they cost their cube.
    expect(shortest(24)).toBeLessThan(6 ** 2 * shortest(4));
  });

  it('differs with colour by colour only', () => {
    const plain = renderSummary(exampleResult(), { width: 120, colour: false });
    const coloured = renderSummary(exampleResult(), { width: 120, colour: true });
    expect(coloured).not.toBe(plain);
    expect(stripVTControlCharacters(coloured)).toBe(plain);
  });

  it('lets no title, class or reason control the terminal', () => {
    const result = exampleResult();
    result.title = 'a\u001b[2Jb\u0007\r\nc';
    for (const row of result.recommendations) {
      row.reason = 'x\u001b]0;title\u0007y\u009b31m';
      row.class = '\u001b[31mred';
      row.damage_case = `case\u001b[1A-${'very-long-'.repeat(9)}`;
    }
    for (const width of [60, 120]) {
      const text = renderSummary(result, { width, colour: false });
      expect([...text].filter((letter) => letter !== '\n' && /\p{Cc}/u.test(letter))).toEqual([]);
      expect(text.split('\n').filter((line) => line.length > width)).toEqual([]);
    }
  });
});

describe('the modes', () => {
  const intact = exampleResult().cases[0]!;
  const table = {
    case: 'intact',
    frequencies_Hz: intact.frequencies_Hz,
    participation: intact.frequencies_Hz.map((_, index) => 0.5 / 2 ** index),
    shapes: intact.mode_shapes,
  };

  it('stand in a table with frequency, participation and its running sum', () => {
    const rows = renderModesTable(table)
      .split('\n')
      .map((row) => row.trim().split(/\s+/));
    expect(rows).toContainEqual(['1', '3.400', '50.00', '50.00']);
    expect(rows).toContainEqual(['2', '3.950', '25.00', '75.00']);
    expect(rows.filter(([mode]) => /^\d+$/.test(mode ?? ''))).toHaveLength(14);
  });

  it('are drawn as one SVG with their frequencies, hostile titles as text', () => {
    const svg = renderModesSvg('<script>&', table);
    expect(svg).toContain('Mode 8: 7.25 Hz');
    expect(svg).toContain('50.0 % of mass');
    expect(svg).toContain('xmlns="http://www.w3.org/2000/svg"');
    const parsed = parsePage(`<!doctype html>${svg}`);
    expect(parsed.errors).toEqual([]);
    expect(parsed.elements.some(({ name }) => name === 'script')).toBe(false);
  });
});
