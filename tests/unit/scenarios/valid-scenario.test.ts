import { describe, expect, it } from 'vitest';
import { readScenario } from '../../../scenarios/read-scenario.js';
import { fullScenario, minimalScenario } from './minimal-scenario.js';

describe('a valid scenario', () => {
  it('is read with every default filled in', () => {
    const reading = readScenario(JSON.stringify(minimalScenario()));
    if (!reading.ok) throw new Error(reading.faults.map((one) => one.message).join('\n'));
    const { scenario } = reading;
    expect(scenario.supports[0]).toEqual({ id: 'A1', joint: false, uplift_resistance_kN: 0 });
    expect(scenario.speeds).toEqual({ from_kmh: 10, step_kmh: 5 });
    expect(scenario.decision).toEqual({
      overspeed_factor: 1.2,
      round_down_to_kmh: 5,
      bounds: { stiffness_factors: [1], mass_factors: [1], damping_factors: [1] },
    });
    expect(scenario.limits).toEqual({ set: 'en-1990-a2', overrides: {} });
    expect(scenario.damage_cases).toEqual([]);
  });

  it('may use every key of the format', () => {
    const reading = readScenario(JSON.stringify(fullScenario()));
    expect(reading.ok ? [] : reading.faults).toEqual([]);
  });

  it('is frozen to the bottom', () => {
    const reading = readScenario(JSON.stringify(fullScenario()));
    if (!reading.ok) throw new Error('not valid');
    expect(Object.isFrozen(reading.scenario.damage_cases[0]?.effects[0])).toBe(true);
  });

  it('survives a passage through JSON unchanged, as a queue demands', () => {
    const reading = readScenario(JSON.stringify(fullScenario()));
    if (!reading.ok) throw new Error('not valid');
    expect(JSON.parse(JSON.stringify(reading.scenario))).toEqual(reading.scenario);
  });
});
