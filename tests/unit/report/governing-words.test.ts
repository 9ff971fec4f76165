import { describe, expect, it } from 'vitest';
import { renderReport } from '../../../worker/report/report-html.js';
import { renderSummary } from '../../../worker/report/summary-table.js';
import { exampleResult, exampleScenario } from './example-result.js';
import { parsePage } from './parse-page.js';

/** The ore train of the softened pier is held to 80 km/h, and no speed that was assessed fails. */
function heldByEnd(utilisation: number) {
  const result = exampleResult();
  result.cases = result.cases.filter(({ damage_case }) => damage_case === 'P2-softened');
  const [one] = result.cases;
  one!.trains = one!.trains.filter(({ train }) => train === 'ore-train');
  const train = one!.trains[0]!;
  Object.assign(train, { status: 'restricted', permitted_speed_kmh: 80, governing: 'bending' });
  train.checks = train.checks.filter(({ id }) => id === 'bending');
  train.checks[0]!.utilisation = utilisation;
  result.recommendations = result.recommendations
    .filter((row) => row.damage_case === 'P2-softened' && row.class === 'freight')
    .map((row) => ({ ...row, status: 'restricted', permitted_speed_kmh: 80, governing: 'bending' }));
  return result;
}

const report = (utilisation: number) => parsePage(renderReport(heldByEnd(utilisation), exampleScenario)).text;
const summary = (utilisation: number, width: number) =>
  renderSummary(heldByEnd(utilisation), { width, colour: false });

describe('a train that the end of the sweep holds', () => {
  it('is not said to be governed by the check that comes closest', () => {
    const text = report(0.32);
    expect(text).toContain('End of what was assessed (closest: bending) ore-train');
    expect(text).toContain('governed by end of what was assessed (closest: bending)');
    expect(text).toContain('Bending closest safety');
    expect(text).not.toContain('Bending governs');
    expect(summary(0.32, 60).replace(/\s+/g, ' ')).toContain(
      'governed by End of what was assessed (closest: bending), ore-train',
    );
    for (const words of ['End of what was', '(closest:', 'bending)'])
      expect(summary(0.32, 120)).toContain(words);
  });

  it('is told from one that a check holds', () => {
    const text = report(1.02);
    expect(text).toContain('Bending ore-train');
    expect(text).toContain('governed by bending');
    expect(text).toContain('Bending governs safety');
    for (const width of [60, 120]) expect(summary(1.02, width)).not.toContain('End of what');
  });
});
