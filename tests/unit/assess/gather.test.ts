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

describe('the stretch of line', () => {
  /** An abutment that has gone down: the slab hogs most on the ground before it. */
  const settled = (slab_hogging_kNm: number) => {
    const result = assess(
      smallScenario(1, {
        line: { speed_kmh: 160, start_chainage_km: 7 },
        track: slabTrack,
        resistance: { ...amplyResistant(1), track: { slab_sagging_kNm: 500, slab_hogging_kNm } },
        damage_cases: [
          { id: 'sunk', effects: [{ kind: 'support-settlement', support: 'S0', settlement_mm: 3.5 }] },
        ],
        limits: { overrides: { 'joint-step': 5 } },
      }),
    );
    const slab = trainOf(result, 'sunk').checks.find(({ id }) => id === 'slab-bending')!;
    return { result, slab, given: result.recommendations[1]! };
  };

  it('reaches to the place beside the deck at which a check fails', () => {
    const { result, slab, given } = settled(80);
    expect(slab.utilisation).toBeGreaterThan(1);
    expect(slab.at_m).toBeLessThan(-0.5);
    expect([given.from_m, given.to_m]).toEqual([slab.at_m, 30]);
    expect(given.from_chainage_km).toBeCloseTo(7 + slab.at_m! / 1e3, 9);
    expect(result.recommendations[0]).toMatchObject({ from_m: 0, to_m: 30 });
  });

  it('is the deck where that check passes', () => {
    const { slab, given } = settled(500);
    expect(slab.at_m).toBeLessThan(-0.5);
    expect([given.from_m, given.to_m]).toEqual([0, 30]);
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
