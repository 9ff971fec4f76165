import { describe, expect, it } from 'vitest';
import type { Check, CheckId } from '../../../scenarios/result.js';
import { limitEnds } from '../../../worker/report/limit-ends.js';
import { checksTable } from '../../../worker/report/sections/checks-table.js';
import { exampleResult, exampleScenario } from './example-result.js';
import { parsePage } from './parse-page.js';

const ends = limitEnds(exampleScenario);

/** The cells of one check in the report. */
function cells(id: CheckId, changes: Partial<Check>, limits = ends): readonly string[] {
  const train = exampleResult().cases[0]!.trains[0]!;
  const known = train.checks.find((check) => check.id === id) ?? train.checks[0]!;
  train.checks = [{ ...known, id, ...changes }];
  const row = /<tbody>(.*)<\/tbody>/s.exec(checksTable(train, 'test', limits).text)?.[1] ?? '';
  return [...row.matchAll(/<t[dh]\b[^>]*>(.*?)<\/t[dh]>/gs)].map(([, cell]) =>
    parsePage(`<!doctype html>${cell}`).text.trim(),
  );
}

const beyond = { value: 2.32, limit: 16, utilisation: 999, speed_kmh: 300.2, permitted_speed_kmh: 250 };

describe('a check past the end of its limits', () => {
  it('fails for having no limit there, instead of a value below a limit that it exceeds', () => {
    const [, , value, limit, , outcome, permits] = cells('track-geometry', beyond);
    expect([value, limit, outcome, permits]).toEqual([
      '2.32',
      '–',
      '✕ fails: no limit above 300 km/h',
      '250',
    ]);
  });

  it('fails without a number where the scenario cannot be read', () => {
    expect(cells('track-geometry', beyond, limitEnds(null))[5]).toBe('✕ fails');
  });

  it('is judged by its value below that speed', () => {
    const [, , , limit, , outcome] = cells('track-geometry', {
      ...beyond,
      utilisation: 0.145,
      speed_kmh: 300,
    });
    expect([limit, outcome]).toEqual(['16.0', '0.15 ✓ passes']);
  });
});

it('fails without a number where something else than its value decides', () => {
  const unheld = { value: 12, limit: 18, utilisation: 999, speed_kmh: 120, permitted_speed_kmh: null };
  expect(cells('fastening-uplift', unheld)[5]).toBe('✕ fails');
});

it('exceeds a resistance that is not there by more than any number', () => {
  const pull = { value: 9.6, limit: 0, utilisation: 999, speed_kmh: 120, permitted_speed_kmh: null };
  expect(cells('bearing-uplift', pull)[5]).toBe('> 99 ✕ exceeds');
});

it('is given the speed that it permits, after overspeed factor and rounding, and called so', () => {
  const text = checksTable(exampleResult().cases[0]!.trains[0]!, 'test', ends).text;
  expect(text).toContain('Permits (km/h)');
});
