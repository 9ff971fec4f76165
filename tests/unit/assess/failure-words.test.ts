import { describe, expect, it } from 'vitest';
import type { Limit } from '../../../scenarios/assessment-model.js';
import { failureOf } from '../../../worker/assess/failure-words.js';
import { failing } from '../../../worker/checks/check.js';

const limit: Limit = {
  ...{ check: 'fastening-uplift', kind: 'safety', unit: 'kN', perSpan: false, source: 'test' },
  steps: [{ upToKmh: 300, value: 18 }],
};
const where = 'rail seats at support A1, where clips that give way do not hold the rail';
const unheld = { value: 12, limit: 18, utilisation: failing, at: 0, where };

describe('the reason why a check fails', () => {
  it('is the end of its limits only beyond them', () => {
    expect(failureOf(unheld, 'kN', limit, 300.1).limitsEndKmh).toBe(300);
    expect(failureOf(unheld, 'kN', limit, 300).limitsEndKmh).toBeNull();
  });

  it('is what happens at the place where the value alone would pass', () => {
    expect(failureOf(unheld, 'kN', limit, 120).words).toBe(`(${where})`);
  });

  it('is otherwise the value against the limit', () => {
    const pulled = { ...unheld, value: 20, utilisation: 20 / 18, where: 'rail seats at support A1' };
    const words = '20 against 18 kN (rail seats at support A1)';
    expect(failureOf(pulled, 'kN', limit, 120)).toEqual({ limitsEndKmh: null, words });
  });

  it.each([
    ['m/s2', '20 against 18 m/s² (deck)'],
    ['kN', '20 against 18 kN (deck)'],
    ['-', '20 against 18 (deck)'],
  ])('says the unit %s of a check as it is read', (unit, words) => {
    const exceeded = { ...unheld, value: 20, utilisation: 20 / 18, where: 'deck' };
    expect(failureOf(exceeded, unit, limit, 120).words).toBe(words);
  });
});
