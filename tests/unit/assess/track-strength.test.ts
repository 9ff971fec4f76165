import { describe, expect, it } from 'vitest';
import type { Check, Result } from '../../../scenarios/result.js';
import {
  amplyResistant,
  amplyResistantTrack,
  assess,
  slabTrack,
  smallScenario,
  trainOf,
} from './assess-scenario.js';

type Document = Record<string, unknown>;

const bedding = (from_m: number, to_m: number, fraction = 1) => ({
  kind: 'bedding-loss',
  ...{ from_m, to_m, fraction },
});
const fastenings = (from_m: number, to_m: number) => ({
  kind: 'fastening-loss',
  ...{ from_m, to_m, fraction: 1 },
});

/** One span with one damage case, assessed. */
function damaged(effects: readonly Document[], given: Document = {}, own?: Document, changes: Document = {}) {
  return assess(
    smallScenario(1, {
      track: slabTrack,
      resistance: { ...amplyResistant(1), track: given },
      damage_cases: [{ id: 'damaged', effects, ...(own && { resistance: { track: own } }) }],
      ...changes,
    }),
  );
}

const checkOf = (result: Result, id: string): Check | undefined =>
  trainOf(result, 'damaged').checks.find((check) => check.id === id);

describe('an intact track', () => {
  const intact = (given: Document): Result =>
    assess(smallScenario(1, { track: slabTrack, resistance: { ...amplyResistant(1), track: given } }));

  it('closes the line where slab or rails cannot carry the train', () => {
    for (const [layer, given] of [
      ['slab', { slab_sagging_kNm: 1e3, slab_hogging_kNm: 15 }],
      ['rail', { rail_kNm: 15 }],
    ] as const)
      expect(trainOf(intact(given), 'intact')).toMatchObject({
        status: 'closed',
        governing: `${layer}-bending`,
      });
  });

  it('is judged by what was given alone', () => {
    const { checks, missing, status } = trainOf(intact({ slab_sagging_kNm: 1e3 }), 'intact');
    expect(checks.filter(({ id }) => id.endsWith('-bending')).map(({ id }) => id)).toEqual(['slab-bending']);
    expect({ missing, status }).toEqual({ missing: [], status: 'line-speed' });
  });

  it('is bent no more at any seat than at those looked at', () => {
    // Fastenings lost to a thousandth everywhere change nothing, and have every seat looked at.
    const given = { slab_sagging_kNm: 1e3, slab_hogging_kNm: 1e3, rail_kNm: 1e3 };
    const everySeat = damaged([{ ...fastenings(-10, 40), fraction: 1e-6 }], given);
    const intactChecks = trainOf(everySeat, 'intact').checks;
    for (const id of ['slab-bending', 'rail-bending'] as const) {
      const some = intactChecks.find((check) => check.id === id)!.value!;
      expect(checkOf(everySeat, id)!.value! / some).toBeLessThan(1.02);
    }
  });
});

describe('a slab over a hollow', () => {
  it('keeps the line closed until its strength is known', () => {
    const result = damaged([bedding(12, 15)]);
    expect(trainOf(result, 'damaged')).toMatchObject({
      status: 'undetermined',
      permitted_speed_kmh: null,
      governing: 'slab-bending',
      missing: ['the bending resistance of the track slab'],
    });
    expect(trainOf(result, 'intact').status).toBe('line-speed');
    expect(checkOf(damaged([bedding(12, 15)], { slab_sagging_kNm: 1e4 }), 'slab-bending')).toMatchObject({
      evidence: 'missing',
      value: expect.any(Number),
    });
  });

  it('carries trains when it is strong enough, and closes the line when it is not', () => {
    const strong = damaged([bedding(12, 15)], { slab_sagging_kNm: 400, slab_hogging_kNm: 400 });
    expect(trainOf(strong, 'damaged').status).toBe('line-speed');
    const weak = damaged([bedding(12, 15)], { slab_sagging_kNm: 60, slab_hogging_kNm: 60 });
    expect(trainOf(weak, 'damaged')).toMatchObject({ status: 'closed', governing: 'slab-bending' });
  });

  it('is stressed more the longer the hollow, and in the middle of it', () => {
    const given = { slab_sagging_kNm: 1e4, slab_hogging_kNm: 1e4 };
    const [short, long] = [bedding(13, 15), bedding(12, 16)].map(
      (loss) => checkOf(damaged([loss], given), 'slab-bending')!,
    );
    expect(long!.value!).toBeGreaterThan(1.3 * short!.value!);
    expect(Math.abs(long!.at_m! - 14)).toBeLessThan(1);
    expect(long!.where).toBe(`slab ${long!.at_m!.toFixed(1)} m from support S0, sagging`);
  });

  it('may be given for the case alone', () => {
    const own = { slab_sagging_kNm: 400, slab_hogging_kNm: 400 };
    expect(trainOf(damaged([bedding(12, 15)], {}, own), 'damaged').status).toBe('line-speed');
    const worse = damaged([bedding(12, 15)], own, { slab_hogging_kNm: 5 });
    expect(checkOf(worse, 'slab-bending')).toMatchObject({
      limit: 5,
      where: expect.stringMatching(/^slab \d+\.\d m from support S0, hogging$/),
    });
  });

  it('weighs on its edges without any train', () => {
    const given = { slab_sagging_kNm: 1e4, slab_hogging_kNm: 1e4 };
    const heavier = { ...slabTrack, slab: { ...slabTrack.slab, mass_kg_per_m: 3200 } };
    // A static load model has the same effect whatever the slab weighs.
    const trains = [{ load_model: 'LM71' }];
    const bent = (result: Result) =>
      trainOf(result, 'damaged', 'LM71').checks.find(({ id }) => id === 'slab-bending')!.value!;
    const [one, two] = [slabTrack, heavier].map((each) =>
      bent(damaged([bedding(11, 17)], given, undefined, { track: each, trains })),
    );
    // Some 1600 kg/m times 9.81 times 36 m2, an eighth of it in a simple span, a twenty-fourth between fixed ends.
    expect(two! - one!).toBeGreaterThan(565 / 24);
    expect(two! - one!).toBeLessThan(565 / 8);
  });
});

describe('a slab over a hollow under a static load model', () => {
  it('bends by the dynamic factor of a short member, not by that of the deck', () => {
    const given = { slab_sagging_kNm: 1e4, slab_hogging_kNm: 1e4 };
    const bent = (train: Document): number => {
      const trains = [{ id: 'one', ...train }];
      const { checks } = trainOf(damaged([bedding(12, 15)], given, undefined, { trains }), 'damaged', 'one');
      return checks.find(({ id }) => id === 'slab-bending')!.value!;
    };
    const [phi2, phi3] = ['phi2', 'phi3'].map((dynamic_factor) =>
      bent({ load_model: 'LM71', dynamic_factor }),
    );
    const [light, twice] = [40, 80].map((load_kN) => bent({ axles: [{ at_m: 0, load_kN }] }));
    const dead = 2 * light! - twice!;
    // The factors of the deck, 30 m, are 1.09 and 1.14.
    expect((phi3! - dead) / (phi2! - dead)).toBeCloseTo(2 / 1.67, 2);
  });
});

describe('a slab on softened bedding', () => {
  it('rests on what is left: its strength is judged where it is given, and said to be unknown where it is not', () => {
    const unknown = damaged([bedding(12, 15, 0.6)]);
    expect(trainOf(unknown, 'damaged').status).toBe('line-speed');
    expect(trainOf(unknown, 'damaged').reason).toContain('strength of the slab over what is lost');
    expect(checkOf(unknown, 'slab-bending')).toBeUndefined();
    const known = damaged([bedding(12, 15, 0.6)], { slab_sagging_kNm: 400, slab_hogging_kNm: 400 });
    expect(trainOf(known, 'damaged').reason).not.toContain('strength of');
    expect(checkOf(known, 'slab-bending')!.utilisation!).toBeLessThan(1);
  });

  it('spans a hollow where losses that overlap leave a sixteenth or less', () => {
    const status = (fraction: number) =>
      trainOf(damaged([bedding(12, 15, fraction), bedding(14, 18, fraction)]), 'damaged').status;
    expect(status(0.7)).toBe('line-speed');
    expect(status(0.8)).toBe('undetermined');
  });

  it('is hogged by a support that has settled below it as well', () => {
    const given = { slab_sagging_kNm: 1e4, slab_hogging_kNm: 1e4 };
    const two = smallScenario(2, {
      track: slabTrack,
      resistance: { ...amplyResistant(2), track: given },
      damage_cases: [0, 30].map((settlement_mm) => ({
        id: settlement_mm === 0 ? 'level' : 'damaged',
        effects: [
          bedding(27, 33, 0.5),
          ...(settlement_mm === 0 ? [] : [{ kind: 'support-settlement', support: 'S2', settlement_mm }]),
        ],
      })),
      supports: [0, 1, 2].map((i) => ({
        id: `S${i}`,
        stiffness_N_per_m: 3e9,
        ...(i === 1 && { joint: true }),
      })),
    });
    const result = assess(two);
    const value = (id: string) =>
      trainOf(result, id).checks.find((check) => check.id === 'slab-bending')!.value!;
    // The second deck turns by 1 mm/m at the joint, against which the slab on its bedding bends: EI theta / L, L = 2.3 m.
    expect(value('damaged')).toBeGreaterThan(value('level') + 0.3 * ((2.3e5 * 1e-3) / 2.3));
  });
});

describe('rails over lost fastenings', () => {
  it('keep the line closed until their strength is known', () => {
    const result = damaged([fastenings(12, 13.5)]);
    expect(trainOf(result, 'damaged')).toMatchObject({
      status: 'undetermined',
      governing: 'rail-bending',
      missing: ['the bending resistance of the rails'],
    });
    const known = damaged([fastenings(12, 13.5)], { rail_kNm: 150 });
    expect(trainOf(known, 'damaged').status).toBe('line-speed');
    expect(checkOf(known, 'rail-bending')!.where).toMatch(/^rail 1\d\.\d m from support S0, sagging$/);
  });

  it('say nothing of a slab whose strength nobody knows and whose bedding is whole', () => {
    expect(checkOf(damaged([fastenings(12, 13.5)], { rail_kNm: 150 }), 'slab-bending')).toBeUndefined();
  });

  it('are judged where the rails lie on the deck itself', () => {
    const { slab: _, bedding: __, ...direct } = slabTrack;
    const result = damaged([fastenings(12, 13.5)], { rail_kNm: 150 }, undefined, { track: direct });
    expect(checkOf(result, 'rail-bending')!.value!).toBeGreaterThan(30);
  });
});

describe('the cautions', () => {
  const cautionOf = (result: Result) =>
    result.cautions.find((text) => text.startsWith('Where bedding or fastenings are lost'));

  it('say what of the track nobody has checked, in every case that has lost some of it', () => {
    const both = [bedding(12, 15, 0.3), fastenings(12, 13.5)];
    expect(cautionOf(damaged(both))).toContain('(damaged), the strength of the slab and the rails');
    expect(cautionOf(damaged(both, { rail_kNm: 150 }))).toContain('the strength of the slab over');
    const known = damaged(both, (amplyResistantTrack(1) as { track: Document }).track);
    expect(cautionOf(known)).toContain('shear of slab and rails');
    expect(cautionOf(assess(smallScenario(1)))).toBeUndefined();
  });
});

describe('a deck that has moved below its track', () => {
  const cautionOf = ({ cautions }: Result) =>
    cautions.find((text) => text.startsWith('Where the deck has moved'));
  const settled = (settlement_mm: number) => ({ kind: 'support-settlement', support: 'S1', settlement_mm });
  /** Two decks of 30 m that meet over S1. */
  const jointed = (effects: readonly Document[], track: Document, changes: Document = {}): Result =>
    assess(
      smallScenario(2, {
        track: slabTrack,
        supports: [0, 1, 2].map((i) => ({
          id: `S${i}`,
          stiffness_N_per_m: 3e9,
          ...(i === 1 && { joint: true }),
        })),
        resistance: { ...amplyResistant(2), track },
        damage_cases: [{ id: 'damaged', effects }],
        ...changes,
      }),
    );
  const slab = (kNm: number) => ({ slab_sagging_kNm: kNm, slab_hogging_kNm: kNm });

  it('bends the slab over a joint that has settled, by half of EI beta times the kink, and the train more', () => {
    const kink = (2 * 20) / 30e3;
    const alone = (2.3e5 * (6e7 / (4 * 2.3e8)) ** 0.25 * kink) / 2;
    const check = checkOf(jointed([settled(20)], slab(1e3)), 'slab-bending')!;
    expect(check.where).toMatch(/^slab .*, sagging$/);
    expect(Math.abs(check.at_m! - 30)).toBeLessThan(1);
    expect(check.value!).toBeGreaterThan(alone);
    expect(check.value!).toBeLessThan(alone + 60);
  });

  it('closes the line where the slab cannot bear that, with and without a loss of the bedding beside', () => {
    for (const effects of [[settled(20)], [settled(20), bedding(28, 32, 0.001)]]) {
      const train = trainOf(jointed(effects, slab(90)), 'damaged');
      expect(train).toMatchObject({ status: 'closed', governing: 'slab-bending' });
    }
    expect(trainOf(jointed([settled(20)], slab(400)), 'damaged').governing).not.toBe('slab-bending');
  });

  it('bends the rails as well', () => {
    const { slab: _, bedding: __, ...direct } = slabTrack;
    const check = checkOf(jointed([settled(20)], { rail_kNm: 100 }, { track: direct }), 'rail-bending')!;
    expect(Math.abs(check.at_m! - 30)).toBeLessThan(1);
  });

  it('is looked at with the heaviest and the softest deck of the bounds', () => {
    const effects = [{ kind: 'deck-stiffness-loss', span: 1, from_m: 0, to_m: 30, fraction: 0.3 }];
    const strong = { span: 1, sagging_kNm: 4e4, hogging_kNm: 4e4, shear_kN: 2e4 };
    const damage_cases = [{ id: 'damaged', effects, resistance: { spans: [strong] } }];
    const bent = (mass_factors: number[]) =>
      checkOf(
        jointed([], slab(1e3), { damage_cases, decision: { bounds: { mass_factors } } }),
        'slab-bending',
      )!.value!;
    expect(bent([0.8, 1, 1.5])).toBeGreaterThan(1.1 * bent([1]));
  });

  it('is said to bend what nobody gave a resistance of, where trains may run over it', () => {
    const unknown = damaged([settled(1)], {});
    expect(trainOf(unknown, 'damaged').permitted_speed_kmh).not.toBeNull();
    expect(cautionOf(unknown)).toContain('(damaged)');
    expect(cautionOf(unknown)).toContain('the strength of the slab and the rails there was not checked');
    expect(cautionOf(damaged([settled(1)], slab(200)))).toContain('the strength of the rails there');
    const known = cautionOf(damaged([settled(1)], { ...slab(200), rail_kNm: 200 }));
    expect(known).toContain('shear of slab and rails there was not checked');
  });

  it('needs no such word where none may, nor where only the track is damaged', () => {
    const closed = damaged([settled(40)]);
    expect(trainOf(closed, 'damaged').permitted_speed_kmh).toBeNull();
    expect(cautionOf(closed)).toBeUndefined();
    expect(cautionOf(damaged([bedding(12, 15, 0.3)]))).toBeUndefined();
  });
});
