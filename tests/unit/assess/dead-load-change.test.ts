import { describe, expect, it } from 'vitest';
import { applyDamage } from '../../../solver/damage.js';
import { solveDeadLoad } from '../../../solver/dead-load.js';
import type { DamageEffect } from '../../../solver/model.js';
import { deadLoadChange } from '../../../worker/assess/dead-load-change.js';
import { plainViaduct } from './viaducts.js';

function changeAfter(joints: boolean, effects: readonly DamageEffect[]) {
  const intact = plainViaduct(3, { joints });
  const damaged = applyDamage(intact, effects);
  return deadLoadChange(damaged, solveDeadLoad(damaged), solveDeadLoad(intact));
}

describe('the change of the dead-load alignment', () => {
  it('is nothing without damage', () => {
    const change = changeAfter(false, []);
    expect(change.sag).toBe(0);
    expect(change.levelDefect).toBe(0);
  });

  it('follows a settled pier of simple spans with two straight lines', () => {
    const change = changeAfter(true, [{ kind: 'support-settlement', support: 'S1', settlement: 0.02 }]);
    expect(change.sag).toBeCloseTo(0.02, 9);
    expect(change.sagAt).toBe(36);
    // Over a 25 m chord across the kink: both sides fall by 12.5 m of a slope of 20 mm in 36 m.
    expect(change.levelDefect).toBeCloseTo((0.02 * 12.5) / 36, 4);
    expect(Math.max(...change.steps.map(Math.abs))).toBe(0);
  });

  it('shows a settled abutment as a step of its full height', () => {
    const change = changeAfter(true, [{ kind: 'support-settlement', support: 'S0', settlement: 0.01 }]);
    expect(change.steps[0]).toBeCloseTo(0.01, 12);
    expect(change.levelDefect).toBeGreaterThan(0.0095);
    expect(change.levelDefect).toBeLessThanOrEqual(0.0101);
  });

  it('grows with the settlement in proportion', () => {
    const one = changeAfter(false, [{ kind: 'support-settlement', support: 'S1', settlement: 0.01 }]);
    const two = changeAfter(false, [{ kind: 'support-settlement', support: 'S1', settlement: 0.02 }]);
    expect(two.levelDefect / one.levelDefect).toBeCloseTo(2, 6);
    expect(two.sag / one.sag).toBeCloseTo(2, 6);
  });

  it('counts the sag of a track that lost its bedding as a defect of level, but not as one of the deck', () => {
    const intact = plainViaduct(3, { joints: false });
    const state = solveDeadLoad(intact);
    const sunk = (x: number) => (x > 50 && x < 58 ? 0.012 : 0);
    const change = deadLoadChange(intact, state, state, sunk);
    expect(change.levelDefect).toBeCloseTo(0.012, 9);
    expect(change.sag).toBe(0);
    expect(Math.max(...change.steps.map(Math.abs))).toBe(0);
  });
});
