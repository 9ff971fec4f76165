import { describe, expect, it } from 'vitest';
import { translateScenario } from '../../../scenarios/translate.js';
import { cautionsOf } from '../../../worker/cautions-of.js';
import { minimalScenario } from '../scenarios/minimal-scenario.js';
import { readValid } from '../scenarios/read-valid.js';
import { amplyResistant, slabTrack, smallScenario } from './assess-scenario.js';

const axles = [{ at_m: 0, load_kN: 100 }];
const cars = { id: 'cars', class: 'passenger', vehicles: [{ vehicle: 'multiple-unit-car' }] };

/** What a scenario calls for whatever comes of its cases. */
function cautionsFor(document: object): string[] {
  const scenario = readValid(document);
  return cautionsOf(scenario, translateScenario(scenario), []);
}

describe('a train given by its axles', () => {
  const caution = (trains: readonly object[]) =>
    cautionsFor(smallScenario(1, { trains })).find((text) =>
      text.includes('no allowance for track irregularities'),
    );

  it('carries the caution that its dynamic effects are those on a perfect track, beside vehicles as well', () => {
    expect(caution([{ id: 'own', axles }])).toBeDefined();
    expect(caution([{ id: 'own', axles }, cars])).toBeDefined();
    expect(caution([{ load_model: 'A', wagons: 1 }])).toBeDefined();
  });

  it('is no static load model, whose factor contains it, and no train of vehicles', () => {
    expect(caution([{ load_model: 'LM71' }])).toBeUndefined();
    expect(caution([cars])).toBeUndefined();
  });
});

describe('HSLM-B, whose spacings are remembered coarsely', () => {
  const remembered = (...trains: readonly object[]) => {
    const spans = [{ length_m: 6.5, mass_kg_per_m: 9000, flexural_rigidity_N_m2: 1.1e9 }];
    return cautionsFor(smallScenario(1, { deck: { spans, damping_ratio: 0.02 }, trains })).filter((text) =>
      text.includes('Figure 6.14'),
    );
  };

  it('carries a caution of its own with the name that each train goes by', () => {
    expect(remembered({ load_model: 'HSLM-B' }, { id: 'short', load_model: 'HSLM-B' })).toEqual([
      expect.stringContaining('spacing of HSLM-B (HSLM-B and short) is remembered coarsely'),
    ]);
  });

  it('is the only load model that does', () => {
    expect(remembered({ load_model: 'HSLM-A1' }, { load_model: 'D4', wagons: 2 })).toEqual([]);
  });
});

describe('the damping ratio of a deck', () => {
  const cautioned = (ratio: object) => {
    const spans = [{ length_m: 30, mass_kg_per_m: 14_000, flexural_rigidity_N_m2: 8e10 }];
    return cautionsFor(smallScenario(1, { deck: { spans, ...ratio } })).filter((text) =>
      text.includes('damping ratio'),
    );
  };

  it('carries a caution above what any material may be designed with, which names both', () => {
    expect(cautioned({ damping_ratio: 0.2 })).toEqual([
      expect.stringMatching(/given for the deck \(20 %\).*; 1\.5 % for reinforced concrete/),
    ]);
  });

  it('carries none up to there, nor where the material gives it', () => {
    expect(cautioned({ damping_ratio: 0.015 })).toEqual([]);
    expect(cautioned({ material: 'reinforced-concrete' })).toEqual([]);
  });
});

describe('deck ends that wheels step onto without a track', () => {
  const cautioned = (changes: Record<string, unknown>) =>
    cautionsFor(smallScenario(2, changes)).filter((text) => text.startsWith('No track was given'));
  const supports = (...given: object[]) => ({ supports: given.map((one, i) => ({ id: `S${i}`, ...one })) });
  const spring = { stiffness_N_per_m: 3e9 };

  it('carry a caution that names those on springs', () => {
    expect(cautioned(supports({}, { ...spring, joint: true }, spring))).toEqual([
      expect.stringContaining('(S1 and S2)'),
    ]);
  });

  it('carry none on rigid supports, over a pier that the deck runs on across, nor under a track', () => {
    expect(cautioned(supports({}, spring, {}))).toEqual([]);
    expect(cautioned({ track: slabTrack })).toEqual([]);
  });
});

/** Whether a result warns of what the track's modes above the highest do to wheels. */
const warns = (changes: object): boolean =>
  cautionsFor({ ...minimalScenario(), ...changes }).some((caution) =>
    caution.includes('wheel unloading came out between'),
  );

describe('wheel unloading with the track modes that wheels are given', () => {
  it('is cautioned of where vehicles run on a track', () => {
    expect(warns({ track: slabTrack, trains: [cars] })).toBe(true);
  });

  it('is not where none do', () => {
    expect(warns({ track: slabTrack })).toBe(false);
    expect(warns({ trains: [cars] })).toBe(false);
  });
});

describe('moments of the slab that are judged', () => {
  const cautioned = (track: object, kind: string) =>
    cautionsFor({
      ...smallScenario(1, { track: slabTrack, resistance: { ...amplyResistant(1), track } }),
      damage_cases: [{ id: 'washed', effects: [{ kind, from_m: 8, to_m: 11, fraction: 1 }] }],
    }).some((text) => text.startsWith('Beside lost bedding (washed) moments of the track slab come out'));
  const slab = { slab_sagging_kNm: 500, slab_hogging_kNm: 500 };

  it('carry a caution of what the mesh misses of them beside lost bedding', () => {
    expect(cautioned(slab, 'bedding-loss')).toBe(true);
  });

  it('carry none beside lost fastenings, nor where only the rails are', () => {
    expect(cautioned(slab, 'fastening-loss')).toBe(false);
    expect(cautioned({ rail_kNm: 500 }, 'bedding-loss')).toBe(false);
  });
});
