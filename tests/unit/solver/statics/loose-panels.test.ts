import { describe, expect, it } from 'vitest';
import { findMechanism } from '../../../../solver/statics/mechanism.js';
import { applyDamage } from '../../../../solver/viaduct/damage.js';
import type { DamageEffect } from '../../../../solver/viaduct/model.js';
import { describeMechanism } from '../../../../worker/assess/wording.js';
import { dampedSlabTrack, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

const track = dampedSlabTrack();
const panels = viaductOf(uniformSpans([30]), {
  track: { ...track, slab: { ...track.slab!, panelLength: 6 } },
});
const gone = (
  kind: 'bedding-loss' | 'fastening-loss',
  from: number,
  to: number,
  fraction = 1,
): DamageEffect => ({
  kind,
  from,
  to,
  fraction,
});
const looseIn = (...effects: DamageEffect[]) => findMechanism(applyDamage(panels, effects))?.loosePanels;

describe('a slab in panels', () => {
  it('lies loose where bedding and fastenings are gone over a whole panel, neighbours as one stretch', () => {
    const loose = looseIn(gone('bedding-loss', 0, 25), gone('fastening-loss', 6, 18));
    expect(loose).toHaveLength(1);
    expect(loose![0]!.from).toBeCloseTo(6, 6);
    expect(loose![0]!.to).toBeCloseTo(18, 6);
  });

  it('lies loose where so little is left that no calculation would notice it', () => {
    const almost = 1 - 1e-12;
    const loose = looseIn(gone('bedding-loss', 0, 25, almost), gone('fastening-loss', 6, 18, almost));
    expect(loose).toHaveLength(1);
    const twice = [gone('bedding-loss', 0, 25, 1 - 1e-5), gone('bedding-loss', 0, 25, 1 - 1e-5)];
    expect(looseIn(...twice, gone('fastening-loss', 6, 18))).toHaveLength(1);
  });

  it('is told with its stretch', () => {
    const mechanism = findMechanism(
      applyDamage(panels, [gone('bedding-loss', 0, 30), gone('fastening-loss', 12, 18)]),
    );
    expect(describeMechanism(mechanism!)).toBe(
      'The slab lies loose from 12.0 to 18.0 m: neither bedding nor fastenings hold it',
    );
  });

  it('is loose on a single seat, about which it turns', () => {
    const { spacing } = track.fastening;
    expect(looseIn(gone('bedding-loss', 0, 30), gone('fastening-loss', 6, 18 - spacing))).toHaveLength(1);
    expect(
      looseIn(gone('bedding-loss', 0, 30), gone('fastening-loss', 6, 12 - 2.5 * spacing)),
    ).toBeUndefined();
  });

  it('is held by either layer alone, and by what little is left of both', () => {
    expect(looseIn(gone('bedding-loss', 0, 30))).toBeUndefined();
    expect(looseIn(gone('fastening-loss', 0, 30))).toBeUndefined();
    expect(looseIn(gone('bedding-loss', 0, 30, 0.99), gone('fastening-loss', 0, 30, 0.99))).toBeUndefined();
  });
});
