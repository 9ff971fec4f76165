import { describe, expect, it } from 'vitest';
import { findMechanism } from '../../../../solver/statics/mechanism.js';
import { applyDamage } from '../../../../solver/viaduct/damage.js';
import { dampedSlabTrack, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';
import { structures } from '../structures.js';

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

  it('fails on one support where a stiff span beside a limp one hides it behind round-off', () => {
    const section = (length: number, flexuralRigidity: number, shearRigidity: number) => ({
      length,
      massPerLength: 1e4,
      flexuralRigidity,
      shearRigidity,
    });
    const stiff = [
      section(9.482891, 95508400000, 55557500000),
      section(8.192432, 122224000000, 55557500000),
      section(23.596677, 106617000000, 55557500000),
    ];
    const limp = [section(2.519064, 14467700, 1e11), section(1.480936, 22146800, 1e11)];
    const viaduct = viaductOf([{ segments: stiff }, { segments: limp }]);
    const effect = (support: string) => ({ kind: 'bearing-loss', support }) as const;
    expect(findMechanism(applyDamage(viaduct, [effect('S0'), effect('S2')]))?.spans).toEqual([0, 1]);
    expect(findMechanism(applyDamage(viaduct, [effect('S0')]))).toBeNull();
  });

  it('holds on a very soft support: soft is not lost', () => {
    expect(
      findMechanism(viaductOf(uniformSpans([25]), { supportChanges: { 1: { stiffness: 1e4 } } })),
    ).toBeNull();
  });
});
