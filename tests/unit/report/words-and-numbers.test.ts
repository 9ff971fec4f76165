import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { effectWords } from '../../../worker/report/effect-words.js';
import { markup, printable } from '../../../worker/report/markup.js';
import {
  formatDifference,
  formatExact,
  formatNumber,
  formatSpeed,
  formatUtilisation,
} from '../../../worker/report/number-format.js';
import { printedUnit, quantityHeading } from '../../../worker/report/quantity.js';
import { lostSupports, readScenarioFacts } from '../../../worker/report/scenario-facts.js';
import { unbroken } from '../../../worker/report/unbroken.js';
import { stretchWords } from '../../../worker/report/wording.js';
import { exampleScenario } from './example-result.js';
import { parsePage } from './parse-page.js';

describe('numbers for people', () => {
  it('never round a failing utilisation to a passing one', () => {
    expect(formatUtilisation(1.0004)).toBe('1.01');
    expect(formatUtilisation(1)).toBe('1.00');
    expect(formatUtilisation(0.994)).toBe('1.00');
    expect(formatUtilisation(1e6)).toBe('> 99');
    fc.assert(
      fc.property(
        fc.double({ min: 1.000001, max: 50, noNaN: true }),
        (value) => Number(formatUtilisation(value)) > 1,
      ),
    );
  });

  it('never round a speed up', () => {
    expect(formatSpeed(159.99)).toBe('159');
    fc.assert(
      fc.property(fc.double({ min: 0, max: 400, noNaN: true }), (v) => Number(formatSpeed(v)) <= v + 1e-8),
    );
  });

  it('show significant digits, thousands and a true minus', () => {
    expect(formatNumber(12345.6)).toBe('12\u202f346');
    expect(formatNumber(-0.01234)).toBe('−0.0123');
    expect(formatNumber(1234)).toBe('1234');
    expect(formatNumber(null)).toBe('–');
    expect(formatNumber(1.1e11)).toBe('1.10\u202f×\u202f10¹¹');
    expect(formatDifference(0.001, 1)).toBe('0');
    expect(formatDifference(-12.34, 1)).toBe('−12.3');
    expect(formatDifference(12.34, 1)).toBe('+12.3');
  });

  it('keep every digit when they echo an input', () => {
    const back = (text: string): number => {
      const plain = [...text]
        .map((letter) =>
          '⁻⁰¹²³⁴⁵⁶⁷⁸⁹'.includes(letter) ? '-0123456789'.charAt('⁻⁰¹²³⁴⁵⁶⁷⁸⁹'.indexOf(letter)) : letter,
        )
        .join('');
      return Number(plain.replaceAll('−', '-').replace('\u202f×\u202f10', 'e'));
    };
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
        expect(back(formatExact(value)) === value).toBe(true);
      }),
    );
  });
});

describe('words', () => {
  it('keep a number with its unit, and a chainage with its km, on one line', () => {
    const kept = (sentence: string) => unbroken(sentence).replaceAll('\u00a0', '_');
    expect(kept('At 80.7 km/h 0.9 against 0.8 m/s² (span 1, km 12.464) at 58 %.')).toBe(
      'At 80.7_km/h 0.9 against 0.8_m/s² (span_1, km_12.464) at 58_%.',
    );
    expect(kept('Spans 4 and 5 of 3 metres, 2 more; span 2 and 1 more')).toBe(
      'Spans 4 and 5 of 3 metres, 2 more; span_2 and 1 more',
    );
    expect(kept('track 124.0 m from support A1')).toBe('track 124.0_m from support A1');
  });

  it('take the unit from a key', () => {
    expect(quantityHeading('deck_acceleration_m_per_s2')).toBe('Deck acceleration (m/s²)');
    expect(quantityHeading('flexural_rigidity_N_m2')).toBe('Flexural rigidity (N·m²)');
    expect(quantityHeading('total_bending_max_kNm')).toBe('Total bending max (kNm)');
    expect(quantityHeading('deck-acceleration')).toBe('Deck-acceleration');
    expect(printedUnit('m/s2')).toBe('m/s²');
  });

  it('tell each kind of damage, and an unknown kind by its keys', () => {
    expect(effectWords({ kind: 'support-stiffness-loss', support: 'P2', fraction: 0.6 })).toBe(
      'Support P2 has lost 60 % of its stiffness.',
    );
    expect(effectWords({ kind: 'support-settlement', support: 'P2', settlement_mm: 12 })).toContain('12 mm');
    expect(effectWords({ kind: 'bearing-loss', support: 'P5' })).toContain('neither up nor down');
    expect(effectWords({ kind: 'bearing-loss', support: 'P5', side: 'left' })).toContain(
      'left one of the two',
    );
    expect(effectWords({ kind: 'bedding-loss', from_m: 60, to_m: 110, fraction: 0.5 })).toBe(
      'Bedding stiffness under the slab reduced by 50 % from 60 m to 110 m of the deck.',
    );
    expect(
      effectWords({ kind: 'deck-stiffness-loss', span: 8, from_m: 1, to_m: 2, fraction: 0.1 }),
    ).toContain('span 8');
    expect(effectWords({ kind: 'new-kind', tilt_mrad: 3 })).toBe('kind: new-kind; tilt: 3 mrad');
  });

  it('know which supports a case takes away altogether', () => {
    const { effects } = readScenarioFacts(exampleScenario);
    expect([...lostSupports(effects.get('P2-lost')!)]).toEqual(['P2']);
    expect([...lostSupports(effects.get('P2-softened')!)]).toEqual([]);
    expect([...lostSupports(effects.get('P5-lost')!)]).toEqual(['P5']);
    expect([...lostSupports([{ kind: 'bearing-loss', support: 'P5', side: 'left' }])]).toEqual([]);
  });

  it('place the supports from the span lengths, and none where the counts do not fit', () => {
    expect(readScenarioFacts(exampleScenario).supports.map(({ xM }) => xM)).toEqual([
      0, 30, 66, 102, 132, 157, 182, 212, 248, 278,
    ]);
    expect(readScenarioFacts({ ...exampleScenario, supports: [{ id: 'A' }] }).supports).toEqual([]);
  });
});

describe('markup', () => {
  it('gives any text back as it went in, in an element and in an attribute', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), (text) => {
        const page = parsePage(markup`<!doctype html><p title="${text}">|${text}|</p>`.text);
        expect(page.elements.map(({ name }) => name)).toEqual(['html', 'head', 'body', 'p']);
        expect(page.elements[3]?.attributes.get('title')).toBe(printable(text));
        expect(page.text).toContain(`|${printable(text)}|`.replace(/\s+/g, ' '));
      }),
    );
  });

  it('replaces what cannot be shown', () => {
    expect(printable('a\u0000b\u001bc\u202ed\ud800e\n')).toBe('a\ufffdb\ufffdc\ufffdd\ufffde\n');
  });
});

describe('the stretch of a restriction', () => {
  const without = { from_chainage_km: null, to_chainage_km: null };

  it('is named by whole metres of chainage, never shorter than it is', () => {
    const stretch = { from_chainage_km: 7.9296, to_chainage_km: 8.0401, from_m: -70.4, to_m: 40.1 };
    expect(stretchWords(stretch)).toEqual(['km 7.929', 'to km 8.041']);
  });

  it('is named from the first support where the line has no chainage', () => {
    expect(stretchWords({ ...without, from_m: 0, to_m: 60 })).toEqual([
      'the first support',
      'to 60 m beyond it',
    ]);
    expect(stretchWords({ ...without, from_m: -70.4, to_m: 60.2 })).toEqual([
      '71 m before the first support',
      'to 61 m beyond it',
    ]);
  });
});
