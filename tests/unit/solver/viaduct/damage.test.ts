import { describe, expect, it } from 'vitest';
import { applyDamage, DamageError } from '../../../../solver/viaduct/damage.js';
import { dampedSlabTrack, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

const intact = viaductOf(uniformSpans([20, 30], { shearRigidity: 2e10 }), {
  supportChanges: { 1: { stiffness: 2e9 } },
  track: dampedSlabTrack(),
});

describe('damage', () => {
  it('leaves the intact viaduct as it was', () => {
    const before = JSON.stringify(intact);
    applyDamage(intact, [
      { kind: 'bearing-loss', support: 'S1' },
      { kind: 'deck-stiffness-loss', span: 0, from: 1, to: 2, fraction: 0.5 },
    ]);
    expect(JSON.stringify(intact)).toBe(before);
  });

  it('multiplies losses of the same stiffness', () => {
    const half = { kind: 'support-stiffness-loss', support: 'S1', fraction: 0.5 } as const;
    expect(applyDamage(intact, [half, half]).supports[1]!.stiffness).toBe(0.5e9);
  });

  it('adds settlements', () => {
    const sink = { kind: 'support-settlement', support: 'S2', settlement: 0.01 } as const;
    expect(applyDamage(intact, [sink, sink]).supports[2]!.settlement).toBeCloseTo(0.02, 12);
  });

  it('weakens a stretch in bending and shear but keeps its length and mass', () => {
    const { segments } = applyDamage(intact, [
      { kind: 'deck-stiffness-loss', span: 1, from: 5, to: 12, fraction: 0.3 },
    ]).spans[1]!;
    expect(segments.map(({ length }) => length)).toEqual([5, 7, 18]);
    expect(segments.map(({ flexuralRigidity }) => flexuralRigidity / 1.1e11)).toEqual([1, 0.7, 1]);
    expect(segments.map(({ shearRigidity }) => shearRigidity! / 2e10)).toEqual([1, 0.7, 1]);
    expect(segments.every(({ massPerLength }) => massPerLength === 15_000)).toBe(true);
  });

  it.each([
    { what: 'an unknown support', effect: { kind: 'bearing-loss', support: 'S9' } },
    {
      what: 'an unknown span',
      effect: { kind: 'deck-stiffness-loss', span: 7, from: 0, to: 1, fraction: 0.5 },
    },
    {
      what: 'part of a rigid support',
      effect: { kind: 'support-stiffness-loss', support: 'S0', fraction: 0.5 },
    },
  ] as const)('refuses $what', ({ effect }) => {
    expect(() => applyDamage(intact, [effect])).toThrow(DamageError);
  });

  it('refuses the loss of a layer that is not there', () => {
    const bare = { ...intact, track: null };
    expect(() => applyDamage(bare, [{ kind: 'bedding-loss', from: 0, to: 5, fraction: 0.5 }])).toThrow(
      DamageError,
    );
  });

  it('takes a rigid support away as a whole', () => {
    const lost = { kind: 'support-stiffness-loss', support: 'S0', fraction: 1 } as const;
    expect(applyDamage(intact, [lost]).supports[0]!.stiffness).toBe(0);
  });
});
