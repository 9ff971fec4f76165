import { describe, expect, it } from 'vitest';
import type { Result } from '../../../scenarios/result.js';
import { damageMatrixChart } from '../../../worker/report/charts/damage-matrix-chart.js';
import { renderReport } from '../../../worker/report/report-html.js';
import { renderSummary } from '../../../worker/report/summary-table.js';
import { reservation } from '../../../worker/report/wording.js';
import { exampleResult, exampleScenario } from './example-result.js';
import { parsePage } from './parse-page.js';

const wanted = ['the shear resistance of span 1'];

/** An intact deck at line speed, some or all of whose resistances nobody gave. */
function unresisted(withoutAny: boolean): Result {
  const result = exampleResult();
  for (const train of result.cases[0]!.trains) {
    train.missing = wanted;
    if (withoutAny) train.checks = train.checks.filter(({ id }) => id !== 'bending');
  }
  return result;
}

describe('line speed without evidence of strength', () => {
  it('is never called plain line speed, in table, matrix, case heading or verdict', () => {
    const html = renderReport(unresisted(true), exampleScenario);
    const { text } = parsePage(html);
    expect(text).toContain('intact passenger Line speed, strength not checked 200 km/h');
    expect(text).toContain('HSLM-A1 Line speed, strength not checked 200 km/h');
    expect(text).toContain('HSLM-A1 passenger Line speed, strength not checked 200 km/h governed by');
    expect(text).toContain('intact: HSLM-A1 line speed, 200 km/h, strength not checked;');
    expect(parsePage(renderReport(exampleResult(), exampleScenario)).text).not.toContain(
      'strength not checked',
    );
  });

  it('is explained in the legend', () => {
    const legend = (result: Result) =>
      /<ul class="key">(.*?)<\/ul>/s.exec(renderReport(result, exampleScenario))?.[1] ?? '';
    expect(legend(unresisted(true))).toContain(
      'Where resistances are missing, load was not compared with strength',
    );
    expect(legend(exampleResult())).not.toContain('resistances');
  });

  it('is told in the cell of the matrix', () => {
    expect(damageMatrixChart('p', unresisted(true)).text.match(/>strength not</g)).toHaveLength(3);
    expect(damageMatrixChart('p', exampleResult()).text).not.toContain('>strength not<');
  });

  it.each([60, 120])('is told on a terminal of %i columns', (width) => {
    const text = renderSummary(unresisted(true), { width, colour: false }).replace(/\s+/g, ' ');
    expect(text).toMatch(/strength not( \S+)* checked/);
    expect(renderSummary(exampleResult(), { width, colour: false })).not.toContain('strength not');
  });

  it('says so where some strength was compared, and nothing where all was, or where no speed is permitted', () => {
    const [partly] = unresisted(false).cases[0]!.trains;
    const [nothing] = unresisted(true).cases[0]!.trains;
    expect(reservation('line-speed', [partly!])).toBe('strength not checked in full');
    expect(reservation('line-speed', [partly!, nothing!])).toBe('strength not checked');
    expect(reservation('restricted', [nothing!])).toBe('strength not checked');
    expect(reservation('line-speed', exampleResult().cases[0]!.trains)).toBeNull();
    for (const status of ['closed', 'undetermined'] as const)
      expect(reservation(status, [nothing!])).toBeNull();
  });
});
