import { describe, expect, it } from 'vitest';
import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { solveDeadLoad } from '../../../../solver/statics/dead-load.js';
import { releaseLiftedBearings } from '../../../../solver/statics/lift-off.js';
import { findMechanism } from '../../../../solver/statics/mechanism.js';
import { applyDamage } from '../../../../solver/viaduct/damage.js';
import { gravity } from '../../../../solver/viaduct/gravity.js';
import type { Substructure, Viaduct } from '../../../../solver/viaduct/model.js';
import { footDisplacements } from '../../../../solver/viaduct/substructure.js';
import { concreteDeck, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';
import { relativeError } from '../random-systems.js';

const coupled: Substructure = {
  supports: ['S1', 'S2', 'S3'],
  flexibility: Float64Array.of(6e-10, 4e-10, 2e-10, 4e-10, 8e-10, 4e-10, 2e-10, 4e-10, 6e-10),
  mass: null,
};
const apart: Substructure = {
  ...coupled,
  flexibility: Float64Array.of(5e-10, 0, 0, 0, 2e-10, 0, 0, 0, 1e-9),
};
const columns = { 1: { stiffness: 4e9 }, 2: { stiffness: 4e9 }, 3: { stiffness: 4e9 } };
const on = (substructure: Substructure, changes: Partial<Viaduct> = {}) =>
  viaductOf(uniformSpans([25, 25, 25, 25]), { substructure, supportChanges: columns, ...changes });

describe('supports on a common substructure', () => {
  it('are springs in series where nothing couples them', () => {
    const inSeries = (foot: number) => ({ stiffness: 1 / (1 / 4e9 + foot) });
    const alone = viaductOf(uniformSpans([25, 25, 25, 25]), {
      supportChanges: { 1: inSeries(5e-10), 2: inSeries(2e-10), 3: inSeries(1e-9) },
    });
    const [ours, theirs] = [on(apart), alone].map((viaduct) => ({
      reactions: solveDeadLoad(viaduct).reactions,
      frequencies: buildDynamicModel(viaduct).modes.angularFrequencies,
    }));
    expect(relativeError(ours!.reactions, theirs!.reactions)).toBeLessThan(1e-10);
    expect(relativeError(ours!.frequencies, theirs!.frequencies)).toBeLessThan(1e-9);
  });

  it('stand where the loads of all of them put their feet, settlements included', () => {
    const viaduct = applyDamage(on(coupled), [
      { kind: 'support-settlement', support: 'S2', settlement: 0.01 },
    ]);
    const state = solveDeadLoad(viaduct);
    const feet = footDisplacements(viaduct.substructure, viaduct.supports, state.reactions);
    [1, 2, 3].forEach((support) => {
      const head = feet[support]! + state.reactions[support]! / 4e9 + (support === 2 ? 0.01 : 0);
      expect(state.deflectionAt(25 * support, 'left') / head).toBeCloseTo(1, 8);
    });
  });

  it('carry the dead load between them, whatever is lost', () => {
    const weight = 100 * concreteDeck.massPerLength * gravity;
    for (const lost of ['S1', 'S2', 'S3']) {
      const viaduct = applyDamage(on(coupled), [
        { kind: 'support-stiffness-loss', support: lost, fraction: 1 },
      ]);
      const { reactions } = solveDeadLoad(viaduct);
      expect(reactions.reduce((sum, value) => sum + value, 0) / weight).toBeCloseTo(1, 9);
      expect(reactions[viaduct.supports.findIndex(({ id }) => id === lost)]).toBe(0);
    }
  });

  it('load each other: a column that settles takes load off itself and its neighbours feel it through the frame', () => {
    const rigid = { 1: {}, 2: {}, 3: {} };
    const viaduct = on(coupled, {
      supports: viaductOf(uniformSpans([25, 25, 25, 25]), { supportChanges: rigid }).supports,
    });
    const before = solveDeadLoad(viaduct).reactions;
    const settled = applyDamage(viaduct, [{ kind: 'support-settlement', support: 'S2', settlement: 0.02 }]);
    const after = solveDeadLoad(settled).reactions;
    expect(after[2]).toBeLessThan(before[2]!);
    expect(after[1]).toBeGreaterThan(before[1]!);
  });

  it('keep a mechanism a mechanism', () => {
    const cut = viaductOf(uniformSpans([25, 25]), {
      supportChanges: { 1: { joint: true } },
      substructure: { supports: ['S1'], flexibility: Float64Array.of(1e-9), mass: null },
    });
    expect(findMechanism(cut)).toBeNull();
    const lost = applyDamage(cut, [{ kind: 'support-stiffness-loss', support: 'S1', fraction: 1 }]);
    expect(findMechanism(lost)?.spans).toEqual([0, 1]);
  });

  it('let go of a deck that they would pull at', () => {
    const viaduct = applyDamage(on(coupled), [
      { kind: 'support-settlement', support: 'S2', settlement: 0.6 },
    ]);
    const released = releaseLiftedBearings(viaduct);
    expect(released.lifted.map(({ support }) => support)).toContain('S2');
    expect(Math.min(...released.state!.reactions)).toBeGreaterThanOrEqual(-1);
  });
});
