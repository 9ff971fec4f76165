import { describe, expect, it } from 'vitest';
import { result as resultSchema } from '../../../scenarios/result.js';
import { NonFiniteNumberError } from '../../../worker/report/finite-numbers.js';
import { MalformedResultError, serialiseResult } from '../../../worker/report/result-json.js';
import { renderSweepsCsv } from '../../../worker/report/sweeps-csv.js';
import { exampleResult } from './example-result.js';

function reversedKeys(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(reversedKeys);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .reverse()
      .map(([key, content]) => [key, reversedKeys(content)]),
  );
}

describe('the result file', () => {
  it('reads back as the same result', () => {
    expect(resultSchema.parse(JSON.parse(serialiseResult(exampleResult())))).toEqual(exampleResult());
  });

  it('gives the same bytes whatever the order in which keys were set, and a line feed at the end', () => {
    const text = serialiseResult(exampleResult());
    expect(serialiseResult(resultSchema.parse(reversedKeys(exampleResult())))).toBe(text);
    expect(text.endsWith('}\n')).toBe(true);
    expect(text.startsWith('{\n  "format": "deckpace/result@1"')).toBe(true);
  });

  it('keeps a list of numbers on one line and leaves text that looks like one alone', () => {
    const result = exampleResult();
    result.title = '[\n1,\n2\n]';
    const text = serialiseResult(result);
    expect(text).toContain('"title": "[\\n1,\\n2\\n]"');
    expect(text).toMatch(/"blocked_bands_kmh": \[\n\s+\[181.5, 198\]/);
  });

  it.each([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])(
    'refuses %s and says where',
    (value) => {
      const result = exampleResult();
      result.cases[1]!.trains[0]!.checks[0]!.value = value;
      expect(() => serialiseResult(result)).toThrow(NonFiniteNumberError);
      expect(() => serialiseResult(result)).toThrow('/cases/1/trains/0/checks/0/value');
      expect(() => renderSweepsCsv(result)).toThrow(NonFiniteNumberError);
    },
  );

  it('refuses what is not a result', () => {
    const broken = JSON.parse(JSON.stringify({ ...exampleResult(), line_speed_kmh: '200' }));
    expect(() => serialiseResult(broken)).toThrow(MalformedResultError);
  });
});

describe('the sweeps file', () => {
  it('has one row per case, train and speed, the quantities with their units as columns, and CRLF line ends', () => {
    const lines = renderSweepsCsv(exampleResult()).split('\r\n');
    expect(lines[0]).toBe(
      'damage_case,train,class,speed_kmh,deck_acceleration_m_per_s2,deck_deflection_mm,joint_step_mm,reaction_min_kN,slab_acceleration_m_per_s2',
    );
    // Five stable cases of three trains at 116 speeds, the header, and nothing after the last line end.
    expect(lines).toHaveLength(1 + 5 * 3 * 116 + 1);
    expect(lines.at(-1)).toBe('');
    const acceleration = exampleResult().cases[0]!.trains[0]!.sweep.deck_acceleration_m_per_s2![0]!;
    expect(lines[1]).toMatch(new RegExp(`^intact,HSLM-A1,passenger,10,${String(acceleration)},`));
  });

  it('leaves a quantity empty that a train does not have', () => {
    const result = exampleResult();
    delete result.cases[0]!.trains[0]!.sweep.joint_step_mm;
    expect(renderSweepsCsv(result).split('\r\n')[1]!.split(',')[6]).toBe('');
  });

  it.each(['=1+1', '+1', '-1', '@a', '\t=1', '\r=1'])('does not let %j become a formula', (name) => {
    const result = exampleResult();
    result.cases[0]!.trains[0]!.train = name;
    const row = renderSweepsCsv(result).slice(renderSweepsCsv(result).indexOf('\r\n') + 2);
    expect(row).toMatch(/^intact,"?'/);
  });

  it('quotes commas, quotes and line ends, and leaves negative numbers alone', () => {
    const result = exampleResult();
    const train = result.cases[0]!.trains[0]!;
    train.train = 'a,"b"';
    train.sweep.joint_step_mm![0] = -1.5;
    const row = renderSweepsCsv(result).split('\r\n')[1]!;
    expect(row.startsWith('intact,"a,""b""",passenger,10,')).toBe(true);
    expect(row).toContain(',-1.5,');
  });
});
