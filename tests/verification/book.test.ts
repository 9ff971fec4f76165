import { readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { allChapters } from './all-chapters.js';
import { isWithinTolerance, UnjudgeableQuantityError } from './book/judge-quantity.js';
import { renderBook } from './book/render-book.js';
import { absolute, atLeast, atMost, relative, type Tolerance } from './book/verification-case.js';

const quantity = (reference: number, computed: number, tolerance: Tolerance) => ({
  name: 'x < y',
  unit: 'm',
  reference,
  computed,
  tolerance,
  why: 'because',
});

describe('the verification book', () => {
  it('contains every case that has a file, under its own name', () => {
    const folder = join(import.meta.dirname, 'cases');
    const files = readdirSync(folder, { recursive: true, encoding: 'utf8' })
      .filter((file) => file.endsWith('.ts') && basename(file) !== 'chapter.ts')
      .map((file) => basename(file, '.ts'));
    const ids = allChapters.flatMap(({ cases }) => cases.map(({ id }) => id));
    expect([...ids].sort()).toEqual(files.sort());
  });

  it('shows a value that misses its tolerance, and escapes what it prints', () => {
    const verificationCase = {
      id: 'one',
      title: 'A <title>',
      source: 'source',
      statement: 'statement',
      evaluate: () => ({ quantities: [quantity(1, 1.2, relative(0.1))] }),
    };
    const page = renderBook(
      [
        {
          chapter: { id: 'chapter', title: 'Chapter', cases: [verificationCase] },
          cases: [{ verificationCase, evidence: verificationCase.evaluate() }],
        },
      ],
      'deckpace 0.0.0',
      { commit: 'abc', date: '2026-01-01', modified: false },
    );
    expect(page).toContain('1 values miss their tolerance');
    expect(page).toContain('x &lt; y');
    expect(page).not.toContain('<title>A <title>');
    expect(page).toContain('A &lt;title&gt;');
  });
});

describe('a quantity', () => {
  it.each([
    { judged: quantity(100, 100.9, relative(0.01)), within: true },
    { judged: quantity(100, 101.1, relative(0.01)), within: false },
    { judged: quantity(-100, -98.9, relative(0.01)), within: false },
    { judged: quantity(0, 0.02, absolute(0.01)), within: false },
    { judged: quantity(0, 0.009, absolute(0.01)), within: true },
    { judged: quantity(2, 2.0001, atMost), within: false },
    { judged: quantity(2, 1.9999, atLeast), within: false },
    { judged: quantity(2, Number.NaN, relative(0.5)), within: false },
    { judged: quantity(2, Number.NaN, atMost), within: false },
    { judged: quantity(Number.NaN, 2, absolute(1)), within: false },
  ])('of $judged.computed against $judged.reference is judged $within', ({ judged, within }) => {
    expect(isWithinTolerance(judged)).toBe(within);
  });

  it.each([relative(0), relative(Number.POSITIVE_INFINITY), absolute(Number.NaN), absolute(-1)])(
    'with a tolerance that cannot fail or cannot pass is refused',
    (tolerance) => {
      expect(() => isWithinTolerance(quantity(1, 1, tolerance))).toThrow(UnjudgeableQuantityError);
    },
  );

  it('of reference 0 needs an absolute tolerance', () => {
    expect(() => isWithinTolerance(quantity(0, 0, relative(0.1)))).toThrow(UnjudgeableQuantityError);
  });
});
