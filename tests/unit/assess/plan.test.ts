import { describe, expect, it } from 'vitest';
import { readScenario } from '../../../scenarios/read-scenario.js';
import { planAssessment } from '../../../worker/plan.js';
import { smallScenario } from './assess-scenario.js';

function scenarioWith(trains: number, speeds: Record<string, number>, spans = 2) {
  const one = (smallScenario(spans).trains as Record<string, unknown>[])[0]!;
  const many = Array.from({ length: trains }, (_, index) => ({ ...one, id: `unit-${index}` }));
  const reading = readScenario(JSON.stringify(smallScenario(spans, { trains: many, speeds })));
  if (!reading.ok) throw new Error(reading.faults[0]!.message);
  return reading.scenario;
}

const few = { from_kmh: 100, to_kmh: 192, step_kmh: 46 };
const many = { from_kmh: 10, to_kmh: 192, step_kmh: 0.25 };

describe('the plan of an assessment', () => {
  it('names every train of every case once, in order', () => {
    const parts = planAssessment(scenarioWith(7, few), 3);
    expect(parts.map((part) => part.trains.length)).toEqual([3, 3, 1]);
    expect(parts.flatMap((part) => part.trains)).toEqual(
      Array.from({ length: 7 }, (_, index) => `unit-${index}`),
    );
  });

  it('puts short trains together and leaves long sweeps alone', () => {
    expect(planAssessment(scenarioWith(4, few)).length).toBe(1);
    expect(planAssessment(scenarioWith(4, many, 8)).length).toBe(4);
  });
});
