import { describe, expect, it } from 'vitest';
import { readScenario } from '../../../scenarios/read-scenario.js';
import type { Check, TrainResult } from '../../../scenarios/result.js';
import { gatherResult, planAssessment, runPart } from '../../../worker/engine.js';
import { smallScenario } from './assess-scenario.js';

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
