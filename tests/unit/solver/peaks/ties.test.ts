import { describe, expect, it } from 'vitest';
import { isAbove, isBelow } from '../../../../solver/peaks/ties.js';
import { type Finding, worse } from '../../../../worker/checks/check.js';

const finding = (utilisation: number, where: string): Finding => ({
  value: utilisation,
  limit: 1,
  utilisation,
  at: 0,
  where,
});

describe('ties', () => {
  it('are values that differ by rounding only, of either sign', () => {
    expect(isAbove(0.3, 0.1 + 0.2)).toBe(false);
    expect(isAbove(0.1 + 0.2, 0.3)).toBe(false);
    expect(isBelow(-0.3 - 1e-12, -0.3)).toBe(false);
    expect(isAbove(0.3 + 1e-8, 0.3)).toBe(true);
    expect(isBelow(-0.3 - 1e-8, -0.3)).toBe(true);
    expect(isAbove(1e-300, 0)).toBe(true);
  });

  it('keep the place of the first, and never a smaller utilisation', () => {
    const tied = worse(finding(1, 'support A1'), finding(1 + 1e-12, 'support A2'));
    expect(tied).toMatchObject({ utilisation: 1 + 1e-12, where: 'support A1' });
    expect(worse(finding(1, 'support A1'), finding(1.001, 'support A2'))?.where).toBe('support A2');
    expect(worse(finding(1, 'support A1'), finding(0.999, 'support A2'))?.where).toBe('support A1');
  });
});
