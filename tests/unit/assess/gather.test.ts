import { describe, expect, it } from 'vitest';
import { readScenario } from '../../../scenarios/read-scenario.js';
import type { Check, TrainResult } from '../../../scenarios/result.js';
import { gatherResult, planAssessment, runPart } from '../../../worker/engine.js';
import { amplyResistant, assess, slabTrack, smallScenario, trainOf } from './assess-scenario.js';

const axles = [{ at_m: 0, load_kN: 100 }];
const reading = readScenario(
  JSON.stringify(
    smallScenario(1, {
      trains: ['swift', 'slow'].map((id) => ({ id, class: 'passenger', axles })),
    }),
  ),
);
if (!reading.ok) throw new Error(reading.faults.map(({ message }) => message).join('\n'));
const { scenario, sha256 } = reading;
const parts = planAssessment(scenario).map((part) => runPart(scenario, part));

/** What the class gets when its trains had these comfort speeds (undefined: comfort not judged) and permitted speeds. */
function comfortOfClass(
  speeds: Readonly<Record<string, number | null | undefined>>,
  permitted: Readonly<Record<string, number | null>> = {},
): number | null {
  const felt = parts.map((part) => ({
    ...part,
    trains: part.trains.map((given) => {
      const speed = permitted[given.train];
      const train: TrainResult =
        speed === undefined
          ? given
          : { ...given, permitted_speed_kmh: speed, status: speed === null ? 'closed' : 'restricted' };
      const comfort = speeds[train.train];
      if (comfort === undefined) return train;
      const check: Check = { ...train.checks[0]!, id: 'ride-comfort', kind: 'comfort' };
      return { ...train, comfort_speed_kmh: comfort, checks: [...train.checks, check] };
    }),
  }));
  return gatherResult(scenario, felt, sha256).recommendations[0]!.comfort_speed_kmh;
}

describe('the comfort speed of a class', () => {
  it('is the least of its trains', () => {
    expect(comfortOfClass({ swift: 140, slow: 90 })).toBe(90);
  });

  it('leaves out trains whose comfort was not judged', () => {
    expect(comfortOfClass({ swift: 140, slow: undefined })).toBe(140);
    expect(comfortOfClass({})).toBeNull();
  });

  it('is never above what another of them is permitted, and does not exist where the class is closed', () => {
    expect(comfortOfClass({ swift: 140, slow: undefined }, { slow: 100 })).toBe(100);
    expect(comfortOfClass({ swift: 140, slow: undefined }, { slow: null })).toBeNull();
  });

  it('does not exist where one of them is comfortable at no speed', () => {
    expect(comfortOfClass({ swift: 140, slow: null })).toBeNull();
  });
});

describe('what was not checked', () => {
  const settled = { kind: 'support-settlement', support: 'S1', settlement_mm: 2 };
  const damage_cases = [{ id: 'sunk', effects: [settled] }];
  const { spans, supports } = amplyResistant(2);

  it('is a caution as long as any evidence of any case is missing', () => {
    const cautionOf = (resistance: object) =>
      assess(smallScenario(2, { damage_cases, resistance })).cautions.find((text) =>
        text.startsWith('Strength was not checked in full'),
      );
    expect(cautionOf({ spans })).toContain('(intact and sunk)');
    expect(cautionOf({ spans, supports })).toBeUndefined();
    const none = assess(smallScenario(2, { damage_cases })).cautions;
    expect(none).toContain('No resistances were given: the strength of the intact deck was not checked.');
    expect(none.join()).toContain('Strength was not checked at all (sunk)');
  });

  it('stands in the reason of the recommendation', () => {
    const result = assess(smallScenario(2, { resistance: { spans } }));
    expect(trainOf(result, 'intact').status).toBe('line-speed');
    expect(result.recommendations[0]!.reason).toContain(
      'Strength was not checked in full: the load that support S0 can carry,',
    );
  });

  it('of another train of the class stands there as well', () => {
    const one = parts.map((part) => ({
      ...part,
      trains: part.trains.map((train) => {
        if (train.train === 'swift') return { ...train, missing: ['the shear resistance of span 9'] };
        return { ...train, missing: [], permitted_speed_kmh: 20, reason: 'Slow.' };
      }),
    }));
    expect(gatherResult(scenario, one, sha256).recommendations[0]!.reason).toBe(
      'Slow. Strength was not checked at all: the shear resistance of span 9 not given.',
    );
  });
});

describe('a train given by its axles', () => {
  const caution = (trains: readonly object[]) =>
    assess(smallScenario(1, { trains })).cautions.find((text) =>
      text.includes('no allowance for track irregularities'),
    );
  const cars = { id: 'cars', vehicles: [{ vehicle: 'multiple-unit-car' }] };

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
    const { cautions } = assess(smallScenario(1, { deck: { spans, damping_ratio: 0.02 }, trains }));
    return cautions.filter((text) => text.includes('Figure 6.14'));
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

describe('a case that asks for one direction of travel', () => {
  const bearing = { kind: 'support-settlement', support: 'S1', settlement_mm: 1 };
  const settled = (reverse: boolean) =>
    assess(smallScenario(1, { damage_cases: [{ id: 'sunk', effects: [bearing], reverse }] }));

  it('gets both, as any other, and a caution that says so', () => {
    const [turned, plain] = [settled(true), settled(false)];
    expect(turned.cases).toEqual(plain.cases);
    expect(turned.recommendations).toEqual(plain.recommendations);
    expect(turned.cautions.filter((text) => !plain.cautions.includes(text))).toEqual([
      'The key reverse of a damage case (sunk) has no effect: every case is assessed in both directions, and the worse is shown. To let the other end lead, turn the train (trains reverse).',
    ]);
  });
});

describe('the damping ratio of a deck', () => {
  const cautioned = (ratio: object) => {
    const spans = [{ length_m: 30, mass_kg_per_m: 14_000, flexural_rigidity_N_m2: 8e10 }];
    return assess(smallScenario(1, { deck: { spans, ...ratio } })).cautions.filter((text) =>
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
    assess(smallScenario(2, changes)).cautions.filter((text) => text.startsWith('No track was given'));
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
