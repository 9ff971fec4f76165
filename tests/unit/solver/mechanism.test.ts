import { describe, expect, it } from 'vitest';
import { applyDamage } from '../../../solver/damage.js';
import { findMechanism } from '../../../solver/mechanism.js';
import { dampedSlabTrack, uniformSpans, viaductOf } from '../../verification/models/viaducts.js';
import { structures } from './structures.js';

const lost = (support: string) => ({ kind: 'support-stiffness-loss', support, fraction: 1 }) as const;

describe('equilibrium', () => {
  it.each(structures)('holds for the intact $name', ({ viaduct }) => {
    expect(findMechanism(viaduct)).toBeNull();
  });

  it('fails for simple spans that lost their pier, track or not', () => {
    for (const track of [null, dampedSlabTrack()]) {
      const viaduct = viaductOf(uniformSpans([25, 25, 25]), {
        track,
        supportChanges: { 1: { joint: true }, 2: { joint: true } },
      });
      const mechanism = findMechanism(applyDamage(viaduct, [lost('S1')]));
      expect(mechanism?.spans).toContain(0);
      expect(mechanism?.lostSupports).toEqual(['S1']);
    }
  });

  it('holds for a continuous deck that lost one pier, and for one that lost two of three supports beside it', () => {
    const viaduct = viaductOf(uniformSpans([25, 25, 25]));
    expect(findMechanism(applyDamage(viaduct, [lost('S1')]))).toBeNull();
    expect(findMechanism(applyDamage(viaduct, [lost('S0')]))).toBeNull();
  });

  it('fails when one support is all that is left', () => {
    const viaduct = viaductOf(uniformSpans([25, 25]));
    const mechanism = findMechanism(
      applyDamage(viaduct, [lost('S0'), { kind: 'bearing-loss', support: 'S1' }]),
    );
    expect(mechanism?.spans).toEqual([0, 1]);
    expect(mechanism?.lostSupports).toEqual(['S0', 'S1']);
  });

  it('names only the spans that move', () => {
    const viaduct = viaductOf(uniformSpans([25, 25, 25, 25]), { supportChanges: { 2: { joint: true } } });
    const mechanism = findMechanism(applyDamage(viaduct, [lost('S3'), lost('S4')]));
    expect(mechanism?.spans).toEqual([2, 3]);
  });

  it('holds on a very soft support: soft is not lost', () => {
    expect(
      findMechanism(viaductOf(uniformSpans([25]), { supportChanges: { 1: { stiffness: 1e4 } } })),
    ).toBeNull();
  });
});
