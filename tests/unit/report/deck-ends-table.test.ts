import { describe, expect, it } from 'vitest';
import type { DeckEndResult } from '../../../scenarios/result.js';
import { renderReport } from '../../../worker/report/report-html.js';
import { exampleResult, exampleScenario } from './example-result.js';
import { parsePage } from './parse-page.js';

const end: DeckEndResult = {
  support: 'A1',
  track: 1,
  at_m: 0,
  speed_kmh: 170,
  uplift_mm: 0.554,
  pull_kN: 20,
  linear_pull_kN: 44.04,
  seat_m: 0.325,
  leading_axle_m: -2,
  released_seats: 2,
  compression_kN: 122.4,
  compressed_seat_m: -0.325,
  rail_bending_increment_kNm: 18,
  rail_stress_increment_N_per_mm2: 24.04,
  rail_m: 0.6,
};

function reportWith(ends: readonly DeckEndResult[]): string {
  const result = exampleResult();
  result.cases[0]!.trains[0]!.deck_ends = [...ends];
  return renderReport(result, exampleScenario);
}

const tableOf = (html: string) => /<table class="deck-ends">[\s\S]*?<\/table>/.exec(html)?.[0];
const cellsOf = (table: string) =>
  [...table.matchAll(/<t[dh]\b[^>]*>(.*?)<\/t[dh]>/gs)].map((match) => match[1]!.replace(/<[^>]*>/g, ''));

describe('deck ends in the report', () => {
  it('are not there where the fastening is linear', () => {
    expect(tableOf(renderReport(exampleResult(), exampleScenario))).toBeUndefined();
    expect(tableOf(reportWith([]))).toBeUndefined();
  });

  it('show what clips hold beside what is judged, and flag pads that are free', () => {
    const html = reportWith([end]);
    expect(parsePage(html).errors).toEqual([]);
    const cells = cellsOf(tableOf(html)!);
    expect(cells.slice(cells.length / 2)).toEqual(
      ['A1', '170', '0.55', '20.0', '44.0', '0.33', '−2.0', '✕ 2', '122.4', '18.00', '24.0'].map((text) =>
        expect.stringContaining(text),
      ),
    );
  });

  it('name the track only where there is more than one, and no stress without a section modulus', () => {
    const one = cellsOf(tableOf(reportWith([end]))!);
    expect(one).not.toContain('Track');
    const two = cellsOf(tableOf(reportWith([end, { ...end, track: 2 }]))!);
    expect(two).toContain('Track');
    const unknown = cellsOf(tableOf(reportWith([{ ...end, rail_stress_increment_N_per_mm2: null }]))!);
    expect(unknown[unknown.length - 1]).not.toMatch(/\d/);
  });
});
