import { describe, expect, it } from 'vitest';
import { readScenario } from '../../../scenarios/read-scenario.js';
import { scenarioBounds } from '../../../scenarios/schema/bounds.js';
import { codesOf, faultsOf } from './faults-of.js';
import { minimalScenario } from './minimal-scenario.js';

describe('a file that is not JSON', () => {
  it.each([
    ['{"format": "deckpace/scenario@1",\n "x": NaN}', 'line 2, column 7', 'NaN, Infinity and undefined'],
    ['{"x": -Infinity}', 'line 1, column 7', 'NaN, Infinity and undefined'],
    ['{"x": 1,}', 'line 1, column 9', 'comma too many'],
    ['{"x": [1, 2,]}', 'line 1', 'comma too many'],
    ['{"x": 1 /* why */}', 'line 1, column 9', 'no comments'],
    ["{'x': 1}", 'line 1, column 2', 'double quotes'],
    ['{“x”: 1}', 'line 1, column 2', 'straight double quotes'],
    ['{"x": „rail“}', 'line 1, column 7', 'straight double quotes'],
    ['{"x": 0,01, "y": 1}', 'line 1, column 9', 'Write 0.01 with a point.'],
    ['{"x": -2,5}', 'line 1, column 10', 'Write -2.5 with a point.'],
    ['{"x": 0,125}', 'line 1, column 9', 'Write 0.125 with a point.'],
    ['{"x": [0,05]}', 'line 1', 'Write 0.05 with a point.'],
    ['{"x": 15,000}', 'line 1', 'write 15000 or 15.000, whichever is meant'],
    ['{"x": 1,500,000}', 'line 1', 'write 1500000.'],
    ['{"x": 1,500.25}', 'line 1', 'write 1500.25.'],
    ['{"x": 1,5e3}', 'line 1', 'Write 1.5e3 with a point.'],
    ['{"x": 1,\n 2}', 'line 2, column 2', 'comma too many'],
    ['{"x": [1,5 2]}', 'line 1', null],
    ['{"x": [1,5x]}', 'line 1', 'without a unit'],
    ['{"x": 1 %}', 'line 1, column 9', 'without a sign for per cent: 1 % is 0.01'],
    ['{"x": 12 kN}', 'line 1, column 10', 'without a unit'],
    ['{"x": 15 000}', 'line 1, column 10', 'write 15000.'],
    ['{"x": -1_500_000}', 'line 1', 'write -1500000.'],
    ['{"x": [1, 2 3]}', 'line 1, column 13', null],
    ['{"x": 030}', 'line 1, column 8', 'do not begin with 0'],
    ['{"x": +3}', 'line 1, column 7', 'no plus sign'],
    ['{"x": .65}', 'line 1, column 7', 'write 0.65.'],
    ['{"x": True}', 'line 1, column 7', 'in small letters'],
    ['{"x": 1,\n# why\n"y": 2}', 'line 2, column 1', 'no comments'],
    ['{"x": 1,\n\u00a0"y": 2}', 'line 2, column 1', 'no plain space (U+00A0)'],
    ['{"x": [1]}}', 'line 1, column 11', 'bracket too many'],
    ['\0{\0}', 'line 1, column 1', 'looks like UTF-16'],
    ['', 'line 1, column 1', 'empty'],
    ['{"x": 1', 'line 1, column 8', 'end of the file missing'],
    ['{"x": 1,\n "ti', 'line 2, column 2', 'end of the file missing'],
    ['{"x": 1,\n \'y\': 2}', 'line 2, column 2', 'stand in double quotes'],
    ['{"x": 1,\n “y”: 2}', 'line 2, column 2', 'straight double quotes'],
    ['{"x": 1,, "y": 2}', 'line 1, column 9', 'comma too many'],
  ])('is refused with the place and what it probably is: %s', (text, place, guess) => {
    const [first, ...rest] = faultsOf(text);
    expect(rest).toEqual([]);
    expect(first?.code).toBe('not-json');
    expect(first?.found).toContain(place);
    if (guess === null) expect(first?.guess).toBeNull();
    else expect(first?.guess).toContain(guess);
  });

  it('is refused when its bytes are not UTF-8', () => {
    const reading = readScenario(Uint8Array.from([0x7b, 0xff, 0x7d]));
    expect(reading.ok ? [] : reading.faults.map((one) => one.code)).toEqual(['not-utf8']);
  });

  it('is said to be UTF-16 where its first bytes say so', () => {
    for (const mark of [
      [0xff, 0xfe],
      [0xfe, 0xff],
    ]) {
      const reading = readScenario(Uint8Array.from([...mark, 0x7b, 0x00, 0x7d, 0x00]));
      expect(reading.ok ? [] : reading.faults.map((one) => [one.code, one.guess])).toEqual([
        ['not-utf8', expect.stringContaining('save it as UTF-8')],
      ]);
    }
  });

  it('may begin with a byte order mark and still be read', () => {
    const text = `\uFEFF${JSON.stringify(minimalScenario())}`;
    expect(codesOf(text)).toEqual([]);
    expect(readScenario(new TextEncoder().encode(text)).ok).toBe(true);
  });

  it('is refused unparsed, with the bound named, when it is larger than any scenario', () => {
    const [first] = faultsOf(`${' '.repeat(scenarioBounds.fileBytes)}{}`);
    expect(first?.code).toBe('file-too-large');
    expect(first?.accepted).toBe('at most 10 MB');
  });

  it('is refused, not followed to the bottom, when brackets nest without end', () => {
    expect(codesOf('['.repeat(100_000))).toEqual(['nested-too-deep ']);
    expect(codesOf(`{"title": "${'['.repeat(1000)}"}`)).not.toContain('nested-too-deep ');
  });

  it.each(['["a\n,', '[/*"*/', '{"a\n'])(
    'is refused at its first error, whatever nests behind it: %j',
    (start) => {
      expect(codesOf(start + '['.repeat(1e6))).toEqual(['not-json ']);
      expect(codesOf(start + '{"b":'.repeat(1e6))).toEqual(['not-json ']);
    },
  );

  it('names a key that stands twice in one object, and where', () => {
    const text = '{"format": "deckpace/scenario@1",\n "line": {"speed_kmh": 100, "speed_kmh": 200}}';
    const [first] = faultsOf(text);
    expect(first?.code).toBe('duplicate-key');
    expect(first?.pointer).toBe('/line/speed_kmh');
    expect(first?.found).toContain('line 2, column 29');
  });

  it.each(['[1]', '3', '"text"', 'null', 'true'])('is refused when it is JSON but no object: %s', (text) => {
    expect(codesOf(text)).toEqual(['wrong-type ']);
  });
});

describe('the format tag', () => {
  it('of a newer deckpace is refused with what to do, and nothing else is judged', () => {
    const [first, ...rest] = faultsOf({ format: 'deckpace/scenario@2', nonsense: 1 });
    expect(rest).toEqual([]);
    expect(first?.code).toBe('format-newer');
    expect(first?.message).toContain('update deckpace');
  });

  it.each(['deckpace/result@1', 'something else', 7])('of something else is refused: %s', (format) => {
    expect(codesOf({ ...minimalScenario(), format })).toEqual(['format-unknown /format']);
  });

  it('is missed where it is missing, and the rest is judged all the same', () => {
    const { format: _, ...rest } = minimalScenario();
    expect(codesOf({ ...rest, trains: [] })).toEqual(['format-missing /format', 'too-few /trains']);
  });
});
