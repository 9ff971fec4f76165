import { describe, expect, it } from 'vitest';
import type { Limit, LimitSet } from '../../../scenarios/assessment-model.js';
import type { CheckId } from '../../../scenarios/result.js';
import { failingBeside } from '../../../worker/assess/failing-beside.js';
import { type Finding, failing } from '../../../worker/checks/check.js';
import { assess, smallScenario, trainOf } from './assess-scenario.js';

const none: LimitSet = new Map();
const finding = (value: number, limit: number, where: string | null = null): Finding => ({
  ...{ value, limit, utilisation: value / limit, at: 0, where },
});
const sample = (findings: [CheckId, Finding][]) => ({
  ...{ speedKmh: 0, findings: new Map(findings), quantities: {}, deckEnds: [] },
});

describe('what fails beside the governing check', () => {
  it('is nothing where the others pass, also just', () => {
    const one = sample([
      ['track-geometry', finding(37, 28)],
      ['bending', finding(34_000, 34_000)],
    ]);
    expect(failingBeside(one, 'track-geometry', none)).toBeNull();
  });

  it('names strength and bearings with their numbers before anything else, in the order of a report', () => {
    const one = sample([
      ['deck-deflection', finding(60, 33)],
      ['track-geometry', finding(37, 28)],
      ['bearing-uplift', finding(300, 100, 'support A1')],
      ['bending', finding(45_300, 34_000, 'span 1')],
    ]);
    expect(failingBeside(one, 'track-geometry', none)).toBe(
      'bending of the deck 45300 against 34000 kNm (span 1), uplift at the bearings 300 against 100 kN (support A1) and deck deflection fail as well',
    );
  });

  it('counts the checks that judge no strength where they are many', () => {
    const others: [CheckId, Finding][] = [
      ['deck-deflection', finding(60, 33)],
      ['end-rotation', finding(9, 3)],
      ['joint-step', finding(9, 3)],
    ];
    const alone = sample([['track-geometry', finding(37, 28)], ...others]);
    expect(failingBeside(alone, 'track-geometry', none)).toBe('3 more checks fail as well');
    const shear: [CheckId, Finding] = ['shear', finding(8000, 7000, 'span 1')];
    expect(failingBeside(sample([shear, ...others]), 'deck-deflection', none)).toBe(
      'shear of the deck 8000 against 7000 kN (span 1), step at the joint and rotation of the deck end fail as well',
    );
  });

  it('says where it is not the value that fails but the end of the limits', () => {
    const limit: Limit = {
      ...{ check: 'bending', kind: 'safety', unit: '', perSpan: false, source: 'test' },
      steps: [{ upToKmh: 120, value: 1 }],
    };
    const ended = { ...finding(20_000, 34_000), utilisation: failing };
    const one = { ...sample([['bending', ended]]), speedKmh: 121 };
    expect(failingBeside(one, 'deck-acceleration', new Map([['bending', limit]]))).toBe(
      'bending of the deck (its limits end at 120 km/h) fails as well',
    );
  });
});

describe('a reason', () => {
  const weakIn = (sagging_kNm: number, shear_kN: number, spans = 1) => ({
    spans: Array.from({ length: spans }, () => ({ sagging_kNm, hogging_kNm: 1e5, shear_kN })),
    supports: Array.from({ length: spans + 1 }, (_, index) => ({ id: `S${index}`, reaction_kN: 3e4 })),
  });

  it('does not let a track defect hide that the deck cannot carry the train', () => {
    const effects = [{ kind: 'support-stiffness-loss', support: 'S1', fraction: 1 }];
    const scenario = smallScenario(2, {
      damage_cases: [{ id: 'lost', effects }],
      resistance: weakIn(6.5e4, 2e4, 2),
    });
    const { governing, reason } = trainOf(assess(scenario), 'lost');
    expect(governing).toBe('track-geometry');
    expect(reason).toMatch(
      /^Keep the line closed: track level after the damage .* fails even at walking pace\. At walking pace bending of the deck \d+ against 65000 kNm \(span 1, sagging\)/,
    );
  });

  it('of a closure names every strength that fails', () => {
    expect(trainOf(assess(smallScenario(1, { resistance: weakIn(1e4, 1e3) })), 'intact').reason).toMatch(
      /shear of the deck .* fails even at walking pace\. At walking pace bending of the deck \d+ against 10000 kNm \(span 1, sagging\) fails as well\.$/,
    );
  });

  it('of a restriction names what else fails at the speed that decides it', () => {
    const limits = ['bending', 'shear'].map((check) => ({
      ...{ check, kind: 'safety', unit: '-', source: 'rule 1' },
      steps: [{ up_to_kmh: 120, value: 1 }],
    }));
    const own_set = { format: 'deckpace/limits@1', id: 'own', title: 'own', limits };
    const resistance = weakIn(4e4, 2e4);
    const train = trainOf(assess(smallScenario(1, { limits: { own_set }, resistance })), 'intact');
    expect(train).toMatchObject({ status: 'restricted', permitted_speed_kmh: 100 });
    expect(train.reason).toMatch(
      /^The limits of bending of the deck end at 120 km\/h; .* below that\. At 12\S+ km\/h shear of the deck \(its limits end at 120 km\/h\) fails as well\.$/,
    );
  });
});

describe('the reason of a class', () => {
  const axles = (load_kN: number) => [0, 2.5, 17, 19.5].map((at_m) => ({ at_m, load_kN }));
  const trains = [
    { id: 'light', class: 'passenger', axles: axles(60) },
    { id: 'heavy', class: 'passenger', axles: axles(600) },
  ];
  const effects = [{ kind: 'support-stiffness-loss', support: 'S1', fraction: 1 }];
  const recommended = (sagging_kNm: number) => {
    const spans = [0, 1].map(() => ({ sagging_kNm, hogging_kNm: 1e5, shear_kN: 2e4 }));
    const supports = [0, 1, 2].map((index) => ({ id: `S${index}`, reaction_kN: 3e4 }));
    const result = assess(
      smallScenario(2, { trains, damage_cases: [{ id: 'lost', effects }], resistance: { spans, supports } }),
    );
    return result.recommendations;
  };
  const sentence = ' Nor does strength permit more for other trains of the class: ';

  it('names the strength that another train fails where the one that governs only feels the track', () => {
    const { governing, governing_train, reason } = recommended(7e4)[1]!;
    expect([governing, governing_train]).toEqual(['track-geometry', 'light']);
    expect(reason).toContain(`even at walking pace.${sentence}bending of the deck (heavy).`);
  });

  it('says it once, and nothing where strength suffices', () => {
    const both = recommended(3e4)[1]!;
    expect(both.reason).toContain('bending of the deck');
    expect(both.reason).not.toContain(sentence);
    const [intact, lost] = recommended(9e4);
    expect(lost).toMatchObject({ status: 'closed', governing: 'track-geometry' });
    for (const { reason } of [intact!, lost!]) expect(reason).not.toContain(sentence);
  });

  it('does not repeat what statics alone decided for every train', () => {
    const spans = [12, 36].map((length_m) => ({
      ...{ length_m, mass_kg_per_m: 14_000, flexural_rigidity_N_m2: 8e10 },
    }));
    const lifted = assess(smallScenario(2, { trains, deck: { spans, damping_ratio: 0.02 } }));
    expect(lifted.recommendations[0]!.reason).toBe(trainOf(lifted, 'intact', 'light').reason);
  });
});
