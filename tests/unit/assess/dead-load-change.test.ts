import { describe, expect, it } from 'vitest';
import { solveDeadLoad } from '../../../solver/statics/dead-load.js';
import { applyDamage } from '../../../solver/viaduct/damage.js';
import type { DamageEffect } from '../../../solver/viaduct/model.js';
import { type DeadLoadChange, deadLoadChange } from '../../../worker/assess/dead-load-change.js';
import { levelDefect } from '../../../worker/assess/level-defect.js';
import { plainViaduct } from './viaducts.js';

function changeAfter(joints: boolean, effects: readonly DamageEffect[]) {
  const intact = plainViaduct(3, { joints });
  const damaged = applyDamage(intact, effects);
  return deadLoadChange(damaged, solveDeadLoad(damaged), solveDeadLoad(intact));
}

const levelOf = ({ x, underTracks }: DeadLoadChange) => levelDefect(x, underTracks);

describe('the change of the dead-load alignment', () => {
  it('is nothing without damage', () => {
    const change = changeAfter(false, []);
    expect(change.sag).toBe(0);
    expect(levelOf(change).departure).toBe(0);
  });

  it('follows a settled pier of simple spans with two straight lines', () => {
    const change = changeAfter(true, [{ kind: 'support-settlement', support: 'S1', settlement: 0.02 }]);
    expect(change.sag).toBeCloseTo(0.02, 9);
    expect(change.sagAt).toBe(36);
    // Over a 25 m chord across the kink: both sides fall by 12.5 m of a slope of 20 mm in 36 m.
    expect(levelOf(change).departure).toBeCloseTo((0.02 * 12.5) / 36, 4);
    expect(Math.max(...change.steps.map(Math.abs))).toBe(0);
  });

  it('shows a settled abutment as a step of its full height', () => {
    const change = changeAfter(true, [{ kind: 'support-settlement', support: 'S0', settlement: 0.01 }]);
    expect(change.steps[0]).toBeCloseTo(0.01, 12);
    expect(levelOf(change).departure).toBeGreaterThan(0.0095);
    expect(levelOf(change).departure).toBeLessThanOrEqual(0.0101);
  });

  it('grows with the settlement in proportion', () => {
    const one = changeAfter(false, [{ kind: 'support-settlement', support: 'S1', settlement: 0.01 }]);
    const two = changeAfter(false, [{ kind: 'support-settlement', support: 'S1', settlement: 0.02 }]);
    expect(levelOf(two).departure / levelOf(one).departure).toBeCloseTo(2, 6);
    expect(two.sag / one.sag).toBeCloseTo(2, 6);
  });
});
